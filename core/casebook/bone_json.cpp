#include <nlohmann/json.hpp>

#include "casebook/bone_in_way.h"

namespace intercusp {

using nlohmann::json;

json bone_row(const BoneInWay& row) {
  const OverlapRegion& region = row.part.overlap;
  const auto point = [](const Vec3& v) { return json::array({v.x(), v.y(), v.z()}); };
  json touches = json::array();
  for (const Touched& t : row.touches) touches.push_back({{"what", t.words}, {"distance_mm", t.distance_mm}});
  return {{"deepest_mm", region.deepest_mm},
          {"at", point(region.at)},
          {"direction", point(region.direction)},
          {"volume_mm3", region.volume_mm3 ? json(*region.volume_mm3) : json()},
          {"area_mm2", region.area_mm2},
          {"site", row.part.site.words},
          {"site_id", row.part.site.id},
          {"side", row.part.site.side},
          {"planned", row.planned},
          {"thickness_mm", row.part.thickness_mm},
          {"divided", row.part.divided},
          {"trimmed", row.trimmed},
          {"touches", std::move(touches)}};
}

json removal_report(const std::vector<TrimmedBone>& bones, double clearance_mm) {
  json rows = json::array();
  for (const TrimmedBone& bone : bones)
    rows.push_back({{"body", bone.body},
                    {"others", bone.others},
                    {"removed_mm3", bone.removal.removed_mm3},
                    {"left_mm", bone.removal.left_deepest_mm},
                    {"gap_mm", bone.removal.least_gap_mm}});
  return {{"clearance_mm", clearance_mm}, {"bones", std::move(rows)}};
}

}  // namespace intercusp
