#include "app/view/section_overlay.h"

#include <cmath>

#include "app/theme.h"
#include "app/view/pick.h"
#include "geometry/section.h"

namespace intercusp {

namespace {

// A millimetre grid over the whole view; only each fifth line where millimetres stand too close.
void draw_grid(const View& v, ImDrawList* list, const Vec3& at, const Vec3& normal) {
  if (std::abs(normal.dot(v.camera.towards_viewer())) < 0.95) return;
  const Projection p{v.camera, v.rect};
  const double mm = p.px_per_mm();
  const int step = mm >= px(5) ? 1 : 5;
  if (step * mm < px(5)) return;
  const auto middle = p.pixel(at);
  const ImU32 fine = with_alpha(theme().soft, 0.20f), strong = with_alpha(theme().soft, 0.42f);
  const auto lines = [&](double from, double origin, double length, auto&& draw) {
    for (int i = static_cast<int>(std::ceil((from - origin) / mm / step)) * step; origin + i * mm < from + length;
         i += step)
      draw(static_cast<float>(origin + i * mm), i % (5 * step) == 0 ? strong : fine);
  };
  const Rect& r = v.rect;
  lines(r.x, middle.x(), r.w, [&](float x, ImU32 c) { list->AddLine({x, r.y}, {x, r.y + r.h}, c, 1); });
  lines(r.y, middle.y(), r.h, [&](float y, ImU32 c) { list->AddLine({r.x, y}, {r.x + r.w, y}, c, 1); });
}

}  // namespace

void draw_section_lines(const Workspace& w, const View& v, ImDrawList* list) {
  const auto plane = section_plane(w);
  if (!plane) return;
  draw_grid(v, list, plane->first, plane->second);
  const Projection projection{v.camera, v.rect};
  for (const Body& body : w.shown().bodies) {
    if (!body.surface || !body_shown(w, body, v.shown)) continue;
    const Pose pose = pose_of_body(w.shown(), body, w.readings.now().poses);
    const bool lower = is_lower_name(segment_of_body(w.shown(), body));
    for (const Polyline& run : section(*body.surface, pose, plane->first, plane->second)) {
      list->PathClear();
      for (const Vec3& q : run.points) {
        const auto at = projection.pixel(q);
        list->PathLineTo({static_cast<float>(at.x()), static_cast<float>(at.y())});
      }
      list->PathStroke(lower ? theme().lower : theme().upper, run.closed ? ImDrawFlags_Closed : 0, px(2));
    }
  }
}

}  // namespace intercusp
