// Questions of a graded set, which the host fetches from the set's server.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "app/work/practice.h"

namespace intercusp {

/// Asks the host for a question of the set on screen; take_question_made gets it. Error where there is no way to a
/// server.
Status ask_for_graded_question(Workspace& w, const QuestionSpec& spec);
/// The host's answer: {"event": "question", "number"} with "bytes", or trouble. False: it is none of these.
bool take_graded_event(Workspace& w, const std::string& kind, const nlohmann::json& event);

}  // namespace intercusp
