#pragma once

#include <optional>
#include <string>

#include "app/work/workspace.h"

namespace intercusp {

/// A place on a body under a pixel.
struct Pick {
  std::string body;
  std::uint32_t triangle = 0;
  Vec3 scan = Vec3::Zero();     ///< in the body's own (scan) space
  Vec3 patient = Vec3::Zero();  ///< where it stands
};

/// Whether a jaw is to be seen. While a landmark is placed the other jaw steps aside: it would only cover the place, or
/// take the point.
bool jaw_shown(const Workspace& w, bool lower);
/// Whether bones and roots step aside: teeth are clicked, or a point of the scans is placed, which they would cover or
/// take.
bool scans_alone(const Workspace& w);
/// Whether the body is drawn in a view that shows `shown`.
bool body_shown(const Workspace& w, const Body& body, Shown shown);
/// The cutting plane of a view: point, normal to the side that is taken away; patient frame.
std::optional<std::pair<Vec3, Vec3>> section_plane(const Workspace& w);

/// The nearest place under a pixel of the window. O(log n).
std::optional<Pick> pick(const Workspace& w, std::size_t view, float x, float y);
/// The same with a hand's allowance: where nothing is under the pixel, the nearest place within a few pixels of it.
std::optional<Pick> pick_near(const Workspace& w, std::size_t view, float x, float y);
/// Whether nothing, or only a jaw that is seen through, stands between a patient point and the viewer.
bool visible(const Workspace& w, std::size_t view, const Vec3& patient);

}  // namespace intercusp
