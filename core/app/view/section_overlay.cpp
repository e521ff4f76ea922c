#include "app/view/section_overlay.h"

#include <cmath>

#include "app/theme.h"
#include "app/view/pick.h"
#include "app/work/feasibility.h"
#include "app/work/splint.h"
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
  // On the light inside of a body dark lines show, on a dark ground light ones: each line is both.
  const ImU32 fine = with_alpha(theme().soft, 0.20f), strong = with_alpha(theme().soft, 0.42f);
  const ImU32 dark_fine = with_alpha(theme().panel, 0.22f), dark_strong = with_alpha(theme().panel, 0.45f);
  const auto lines = [&](double from, double origin, double length, auto&& draw) {
    for (int i = static_cast<int>(std::ceil((from - origin) / mm / step)) * step; origin + i * mm < from + length;
         i += step)
      draw(std::floor(static_cast<float>(origin + i * mm)), i % (5 * step) == 0);
  };
  const Rect& r = v.rect;
  const float wide = std::max(1.0f, std::floor(px(1)));
  const auto stroke = [&](ImVec2 a, ImVec2 b, ImVec2 aside, bool fifth) {
    list->AddLine(a, b, fifth ? strong : fine, wide);
    if (theme().dark)
      list->AddLine({a.x + aside.x, a.y + aside.y}, {b.x + aside.x, b.y + aside.y}, fifth ? dark_strong : dark_fine,
                    wide);
  };
  lines(r.x, middle.x(), r.w, [&](float x, bool fifth) { stroke({x, r.y}, {x, r.y + r.h}, {wide, 0}, fifth); });
  lines(r.y, middle.y(), r.h, [&](float y, bool fifth) { stroke({r.x, y}, {r.x + r.w, y}, {0, wide}, fifth); });
}

// Where the plane meets a surface, in one colour on a darker or lighter casing.
void draw_runs(const View& v, ImDrawList* list, const Surface& surface, const Pose& pose,
               const std::pair<Vec3, Vec3>& plane, ImU32 colour) {
  const Projection projection{v.camera, v.rect};
  for (const Polyline& run : section(surface, pose, plane.first, plane.second)) {
    std::vector<ImVec2> line;
    for (const Vec3& q : run.points) {
      const auto at = projection.pixel(q);
      line.push_back({static_cast<float>(at.x()), static_cast<float>(at.y())});
    }
    const int n = static_cast<int>(line.size());
    const ImDrawFlags flags = run.closed ? ImDrawFlags_Closed : ImDrawFlags_None;
    if (theme().dark) list->AddPolyline(line.data(), n, with_alpha(theme().panel, 0.75f), flags, px(4));
    list->AddPolyline(line.data(), n, colour, flags, px(2));
  }
}

}  // namespace

void draw_section_lines(const Workspace& w, const View& v, ImDrawList* list) {
  const auto plane = section_plane(w);
  if (!plane) return;
  draw_grid(v, list, plane->first, plane->second);
  for (const Body& body : w.shown().bodies) {
    if (!body.surface || !body_shown(w, body, v.shown)) continue;
    const bool lower = is_lower_name(segment_of_body(w.shown(), body));
    draw_runs(v, list, *drawn_surface(w, body), pose_of_body(w.shown(), body, w.readings.now().poses), *plane,
              lower ? theme().lower : theme().upper);
  }
  if (const MadeSplint* made = shown_splint(w))
    draw_runs(v, list, *made->answer.body.surface, Pose::Identity(), *plane, theme().text);
}

}  // namespace intercusp
