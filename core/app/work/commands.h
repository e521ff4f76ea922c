#pragma once

#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "app/work/workspace.h"

namespace intercusp {

/// Does a command by name (docs/page-interface.md lists them): the panels, the keys and the page's scripts all come
/// here.
Result<nlohmann::json> act(Workspace& w, const std::string& name, const nlohmann::json& args);
/// The same from a panel: an error becomes a message.
bool run(Workspace& w, const std::string& name, const nlohmann::json& args = nlohmann::json::object());
/// Names of all commands, in alphabetical order.
std::vector<std::string> command_names();

/// Proposes the teeth that were clicked on the model, as far as the arch has been found on their scan.
void propose_clicked_teeth(Workspace& w);

}  // namespace intercusp
