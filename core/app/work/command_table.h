#pragma once

#include <functional>
#include <map>
#include <string>

#include <nlohmann/json.hpp>

#include "app/work/workspace.h"

namespace intercusp {

using Json = nlohmann::json;

struct Command {
  std::function<Result<Json>(Workspace&, const Json&)> act;
  bool needs_case = true;
};

void add_case_commands(std::map<std::string, Command>& table);
void add_plan_commands(std::map<std::string, Command>& table);
void add_view_commands(std::map<std::string, Command>& table);
void add_landmark_commands(std::map<std::string, Command>& table);
void add_panel_commands(std::map<std::string, Command>& table);

/// The answer of a command that has nothing to tell.
inline Result<Json> nothing() {
  return Json::object();
}
inline Result<Json> from(const Status& status) {
  if (!status) return status.error();
  return Json::object();
}

}  // namespace intercusp
