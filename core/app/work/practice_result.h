// What a student hands in at the end of a teacher's set: signed by the host, passed on as a code, a file, or to the
// teacher's inbox.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "app/work/practice.h"

namespace intercusp {

/// Asks the host to sign the result as it stands; until it has, the result is unsigned.
void ask_for_signature(Workspace& w);
/// The result's code as it stands.
std::string result_now(const Workspace& w);
/// Sends it to the inbox that the set's link names, once it is signed or cannot be. Error where the link names none.
Status send_result(Workspace& w);
/// Passes it on through the clipboard or as a file, likewise.
void copy_result(Workspace& w);
void save_result(Workspace& w);

/// What the host answers of practice, for students and teachers (Host::practice).
void take_practice_event(Workspace& w, const nlohmann::json& event);

}  // namespace intercusp
