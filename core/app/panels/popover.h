#pragma once

#include "app/panels/panels.h"

namespace intercusp {

/// A small window over the view with a heading and a way to close it.
bool begin_popover(Workspace& w, const char* id, const Rect& r, const char* title);
void end_popover(Workspace& w);
/// A rectangle of logical size in the middle of the view.
Rect in_the_middle(const Screen& s, float w, float h);

}  // namespace intercusp
