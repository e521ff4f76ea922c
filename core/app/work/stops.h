#pragma once

#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "app/work/workspace.h"

namespace intercusp {

/// Landmarks that the measures need and that are not placed, in the order of the measure table, each once.
std::vector<std::string> missing_landmarks(const Workspace& w);
/// Every landmark that the measures can use for this case: placed or not.
std::vector<std::string> useful_landmarks(const Workspace& w);

/// Whether a landmark was proposed with little confidence and nobody has confirmed or moved it.
bool in_doubt(const Workspace& w, const std::string& name);
/// Proposed landmarks that still ask for a look: not confirmed, moved or taken back meanwhile.
std::vector<std::string> points_in_doubt(const Workspace& w);

enum class StopState { done, open, attention };
struct StopWord {
  StopState state = StopState::open;
  std::string word;  ///< "done", "12 to place", "2 places"
};
StopWord state_of_stop(const Workspace& w, Stop stop);

/// The one most useful next thing: words and the command that does it.
struct NextThing {
  std::string words, command;
  nlohmann::json args = nlohmann::json::object();
};
NextThing next_thing(const Workspace& w);

}  // namespace intercusp
