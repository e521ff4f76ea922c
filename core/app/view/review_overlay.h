#pragma once

#include <imgui.h>

#include <optional>
#include <string>

#include "app/view/labels.h"
#include "app/work/workspace.h"

namespace intercusp {

/// The others' pointers and the pins of remarks on a view.
void draw_review_marks(const Workspace& w, std::size_t view, ImDrawList* list, Labels& labels);
/// Where a point of a body stands in a view, device pixels of the window; nothing where that is outside of it.
std::optional<ImVec2> pin_pixel(const Workspace& w, std::size_t view, const std::string& body, const Vec3& scan);
/// The remark whose pin is under a pixel; empty when none is.
std::string remark_under(const Workspace& w, std::size_t view, float x, float y);
/// Notes what one's own pointer is on, for the others; without a view it is on nothing.
void point_for_others(Workspace& w, std::optional<std::size_t> view, float x, float y);
/// A click that pins a remark.
void pin_remark_at(Workspace& w, std::size_t view, float x, float y);

}  // namespace intercusp
