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

/// Keeps the answers of the graded set on screen with its link on this machine, so that leaving and reloading lose
/// none.
void keep_graded_answers(Workspace& w);
/// The answers that are kept of this set; empty where there are none.
std::vector<GivenAnswer> kept_graded_answers(Workspace& w, const GradedTicket& ticket);
/// The link of the graded set that was begun here and not handed in; empty where there is none.
std::string graded_set_to_continue(Workspace& w);
/// Nothing is kept any more: it is handed in.
void forget_graded_answers(Workspace& w);

}  // namespace intercusp
