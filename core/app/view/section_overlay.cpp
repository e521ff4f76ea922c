#include "app/view/section_overlay.h"

#include <cmath>

#include "app/theme.h"
#include "app/view/pick.h"
#include "geometry/section.h"

namespace intercusp {

namespace {

constexpr int kGridMm = 10;

void draw_grid(const View& v, ImDrawList* list, const Vec3& at, const Vec3& normal) {
  if (std::abs(normal.dot(v.camera.towards_viewer())) < 0.95) return;
  const Projection p{v.camera, v.rect};
  if (p.px_per_mm() < px(5)) return;
  const Vec3 side = v.camera.right(), up = v.camera.up();
  const auto dot = [&](double a, double b) {
    const auto q = p.pixel(at + a * side + b * up);
    return ImVec2{static_cast<float>(q.x()), static_cast<float>(q.y())};
  };
  for (int i = -kGridMm; i <= kGridMm; ++i) {
    const ImU32 c = with_alpha(theme().soft, i % 5 == 0 ? 0.5f : 0.22f);
    list->AddLine(dot(i, -kGridMm), dot(i, kGridMm), c, 1);
    list->AddLine(dot(-kGridMm, i), dot(kGridMm, i), c, 1);
  }
}

}  // namespace

void draw_section_lines(const Workspace& w, const View& v, ImDrawList* list) {
  const auto plane = section_plane(w);
  if (!plane) return;
  if (w.section.at) draw_grid(v, list, plane->first, plane->second);
  const Projection projection{v.camera, v.rect};
  for (const Body& body : w.now().bodies) {
    if (!body.surface || !body_shown(w, body, v.shown)) continue;
    const Pose pose = pose_of_body(w.now(), body, w.readings.now().poses);
    const bool lower = segment_of_body(w.now(), body) == "lower";
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
