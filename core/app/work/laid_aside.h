#pragma once

#include "app/work/workspace.h"

namespace intercusp {

/// Before another case is opened: one with changes that no file has is laid aside, in place of what lay there, and the
/// person is told how to come back to it. A case that others hold as well is not.
void lay_aside(Workspace& w);
/// Makes it the case worked on again; what is open now is laid aside in turn.
Status take_up_again(Workspace& w);

}  // namespace intercusp
