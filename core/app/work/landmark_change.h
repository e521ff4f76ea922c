#pragma once

#include "app/work/command_table.h"

namespace intercusp {

/// The member `at`: [x, y, z], three finite numbers; else empty.
std::optional<Vec3> place_in(const Json& args);

/// Makes a case with other landmarks the one worked on, as one undoable step named by `words` (steps of one `merge` are
/// one). The frame settles; when it becomes known by that, the views turn to it.
void change_landmarks(Workspace& w, Case next, const std::string& words, const std::string& merge = "");

}  // namespace intercusp
