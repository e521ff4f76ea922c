// Painting zones on bodies.
#include <algorithm>

#include "app/work/command_table.h"
#include "app/work/landmark_change.h"
#include "app/work/review.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

Status may_paint(const Workspace& w) {
  if (w.practice) return Error{"zones are not painted in practice", "", ""};
  if (in_review(w)) return Error{"zones cannot be painted in a shared case", "", "paint before the case is shared"};
  return Done{};
}

Result<Json> paint_zone(Workspace& w, const Json& args) {
  if (const Status may = may_paint(w); !may) return may.error();
  if (const auto brush = number_at(args, "brush_mm")) w.brush_mm = std::clamp(*brush, kLeastBrushMm, kLargestBrushMm);
  w.erasing = flag_at(args, "erase").value_or(false);
  const bool on = flag_at(args, "on").value_or(w.tool != Tool::paint_zone);
  if (on) w.popover = Popover::none;
  w.held = on ? Moment::rest : Moment::planned;
  w.tool = on ? Tool::paint_zone : Tool::turn;
  return Json{{"on", on}};
}

Vec3 normal_at(const Surface& surface, const Vec3& at) {
  ClosestPoint nearest;
  if (!surface.bvh().closest(surface.mesh(), at, 5, nearest)) return Vec3::Zero();
  return surface.scaled_normal(nearest.triangle).stableNormalized();
}

Result<Json> dab(Workspace& w, const Json& args) {
  if (const Status may = may_paint(w); !may) return may.error();
  const std::string name = text_at(args, "body").value_or("");
  const Body* body = w.now().find_body(name);
  if (!body || !body->surface) return Error{"there is no body \"" + name + "\"", "", ""};
  const auto at = place_in(args);
  const double radius = number_at(args, "radius_mm").value_or(w.brush_mm);
  if (!at || !(radius >= kLeastBrushMm && radius <= kLargestBrushMm))
    return Error{"no place to paint", "zone_dab", "give at (scan space) and radius_mm of 0.2 to 15"};
  const Vec3 normal = normal_at(*body->surface, *at);
  if (normal.isZero()) return Error{"nothing to paint there", "zone_dab", "give a place on the body"};
  Case next = w.now();
  auto zone = std::find_if(next.zones.begin(), next.zones.end(), [&](const Zone& z) { return z.body == name; });
  if (zone == next.zones.end()) zone = next.zones.insert(next.zones.end(), Zone{name, {}});
  if (zone->dabs.size() >= kMostDabs)
    return Error{"this zone holds as many strokes as it can", "", "wipe it off, or paint with a larger brush"};
  const bool erase = flag_at(args, "erase").value_or(false);
  zone->dabs.push_back({*at, normal, radius, erase});
  const std::string words = (erase ? "Wiped off the zone on the " : "Painted a zone on the ") + body_words(name);
  w.document.change(std::move(next), words, text_at(args, "merge").value_or(""));
  return nothing();
}

Result<Json> clear_zones(Workspace& w, const Json&) {
  if (w.now().zones.empty()) return Json{{"cleared", false}};
  Case next = w.now();
  next.zones.clear();
  w.document.change(std::move(next), "Wiped off every zone");
  return Json{{"cleared", true}};
}

}  // namespace

void add_zone_commands(std::map<std::string, Command>& t) {
  t["paint_zone"] = {paint_zone};
  t["zone_dab"] = {dab};
  t["clear_zones"] = {clear_zones};
}

}  // namespace intercusp
