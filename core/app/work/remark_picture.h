#pragma once

#include <string>

#include "app/work/workspace.h"

namespace intercusp {

/// The active view as it is drawn, small, with a ring where `body` is pinned at `point` (scan space; an empty body: no
/// ring). JPEG bytes of at most kLongestPicture; empty where there is no screen.
std::string picture_for_remark(const Workspace& w, const std::string& body, const Vec3& point);

}  // namespace intercusp
