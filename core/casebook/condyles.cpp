#include "casebook/condyles.h"

#include <cmath>

#include <nlohmann/json.hpp>

namespace intercusp {

using nlohmann::json;

namespace {

/// The bone that carries a condyle: that of the landmark's segment.
const Body* condyle_bone(const Case& c, const std::string& landmark) {
  const std::string segment = segment_of_landmark(c, landmark);
  for (const Body& body : c.bodies) {
    if (is_lower_bone(body.name) && segment_of_body(c, body) == segment) return &body;
  }
  return nullptr;
}

std::vector<PosedBone> skull_of(const Case& c) {
  std::vector<PosedBone> bones;
  for (const Body& body : c.bodies) {
    // The skull base is often one surface with the upper jaw: until it is cut that counts, afterwards what stays.
    if (segment_of_body(c, body) == "cranium" && (is_upper_bone(body.name) || !is_upper_name(body.name))) {
      bones.push_back({body.surface, c.patient_from_scans});
    }
  }
  return bones;
}

json space(const std::optional<double>& before, const std::optional<double>& after, const JointNorm& norm) {
  json row = {{"before_mm", before ? json(*before) : json()},
              {"after_mm", after ? json(*after) : json()},
              {"published_mean_mm", norm.mean},
              {"published_sd_mm", norm.sd}};
  if (before && after) row["change_mm"] = *after - *before;
  return row;
}

}  // namespace

std::vector<CondyleChange> condyle_changes(const Case& c, const SegmentPoses& poses) {
  std::vector<CondyleChange> changes;
  const PointMap before = points_at(c, {}), after = points_at(c, poses);
  const std::vector<PosedBone> skull = skull_of(c);
  for (const bool right : {true, false}) {
    const std::string side = right ? "_right" : "_left", name = "condyle_centre" + side;
    const auto from = before.find(name);
    if (from == before.end()) continue;
    const Pose pose = pose_of_segment(poses, segment_of_landmark(c, name));
    CondyleChange change;
    change.right = right;
    change.shift = after.at(name) - from->second;
    change.turn_deg = degrees(Eigen::AngleAxisd(pose.linear()).angle());
    change.turned = angles_of(pose.linear());
    const double outwards = right ? -1 : 1;
    change.torque_deg = -outwards * change.turned.yaw_deg;
    const auto angle = before.find("Go" + side);
    if (angle != before.end()) {
      change.flare_mm = outwards * (after.at("Go" + side).x() - angle->second.x() - change.shift.x());
    }
    if (const Body* bone = condyle_bone(c, name)) {
      change.before = joint_spaces({bone->surface, c.patient_from_scans}, from->second, skull);
      change.after = joint_spaces({bone->surface, pose_of_body(c, *bone, poses)}, after.at(name), skull);
    }
    changes.push_back(change);
  }
  return changes;
}

json condyle_report(const Case& c, const SegmentPoses& poses) {
  json report = {{"condyles", json::array()},
                 {"source", kJointSpaceSource},
                 {"caution", "where the plan puts the condyles; not where they will sit once they are free"}};
  for (const CondyleChange& change : condyle_changes(c, poses)) {
    report["condyles"].push_back(
        {{"side", change.right ? "right" : "left"},
         {"forward_mm", -change.shift.y()},
         {"up_mm", change.shift.z()},
         {"left_mm", change.shift.x()},
         {"turn_deg", change.turn_deg},
         {"pitch_deg", change.turned.pitch_deg},
         {"roll_deg", change.turned.roll_deg},
         {"yaw_deg", change.turned.yaw_deg},
         {"flare_mm", change.flare_mm},
         {"torque_deg", change.torque_deg},
         {"anterior", space(change.before.anterior, change.after.anterior, kAnteriorSpace)},
         {"superior", space(change.before.superior, change.after.superior, kSuperiorSpace)},
         {"posterior", space(change.before.posterior, change.after.posterior, kPosteriorSpace)}});
  }
  return report;
}

}  // namespace intercusp
