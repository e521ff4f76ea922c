#include <nlohmann/json.hpp>

#include "casebook/plate_sites.h"

namespace intercusp {

using nlohmann::json;

namespace {

json or_null(const std::optional<double>& value) {
  return value ? json(*value) : json();
}

json screw_row(const ScrewPath& screw, const char* segment) {
  return {{"segment", segment},
          {"thickness_mm", screw.thickness_mm},
          {"tip_to_root_mm", or_null(screw.tip_to_root_mm)},
          {"path_to_root_mm", or_null(screw.path_to_root_mm)}};
}

}  // namespace

json plate_row(const PlateGap& gap) {
  json screws = json::array(), remarks = json::array();
  if (gap.reference_screw) screws.push_back(screw_row(*gap.reference_screw, "fixed"));
  if (gap.other_screw) screws.push_back(screw_row(*gap.other_screw, "moved"));
  for (const PlateRemark& r : plate_remarks(gap))
    remarks.push_back({{"what", r.what}, {"considered", r.considered}, {"source", r.source}});
  const Vec3& at = gap.site.anchor;
  return {{"site_id", gap.site.id},
          {"site", gap.site.words},
          {"at", {at.x(), at.y(), at.z()}},
          {"facing", gap.facing},
          {"gap_mm", gap.facing ? json(gap.gap_mm) : json()},
          {"step_mm", gap.facing ? json(gap.step_mm) : json()},
          {"contact_mm2", gap.contact_mm2},
          {"screws", std::move(screws)},
          {"tip_to_root_mm", or_null(screw_tip_to_root(gap))},
          {"remarks", std::move(remarks)}};
}

json stability_row(const StabilityNote& note) {
  return {{"move", note.move},     {"rank", note.rank},   {"words", note.words},
          {"source", note.source}, {"usual", note.usual}, {"beyond_usual", note.beyond_usual}};
}

}  // namespace intercusp
