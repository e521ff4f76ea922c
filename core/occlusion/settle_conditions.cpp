#include "occlusion/settle_conditions.h"

#include <algorithm>
#include <cmath>

#include "occlusion/reading.h"

namespace intercusp {
namespace {

const char* const kPinnable[] = {"overjet",    "overbite",     "midline_upper_lower", "molar_right",
                                 "molar_left", "canine_right", "canine_left"};

// Of the two pairs of central incisors the one whose reading is the headline: the larger by magnitude.
SeatCondition incisors(const MeasureInput& in, const Pose& motion, const char* feature, const Vec3& direction) {
  SeatCondition best;
  double most = -1;
  for (const auto& [upper, lower] : {std::pair{11, 41}, std::pair{21, 31}}) {
    const std::string u = tooth_point(upper, feature), l = tooth_point(lower, feature);
    if (!has_point(in, u) || !has_point(in, l)) continue;
    const SeatCondition c{point_of(in, u), point_of(in, l), direction};
    const double size = std::abs((c.upper - motion * c.lower).dot(direction));
    if (size > most + 1e-6) {
      best = c;
      most = size;
    }
  }
  return best;
}

Vec3 middle_of(const MeasureInput& in, const std::string& a, const std::string& b) {
  return 0.5 * (point_of(in, a) + point_of(in, b));
}

// Mesially along the lower side where it stands after the motion.
Vec3 side_direction(const MeasureInput& in, const Pose& motion, int quadrant) {
  const std::string four = tooth_point(10 * quadrant + 4, "contact_mesial");
  const std::string front = has_point(in, four) ? four : tooth_point(10 * quadrant + 5, "contact_mesial");
  const Vec3 along =
      motion.linear() * (point_of(in, front) - point_of(in, tooth_point(10 * quadrant + 6, "contact_distal")));
  return (along - in.frame->up * in.frame->up.dot(along)).normalized();
}

SeatCondition side_condition(const MeasureInput& in, const Pose& motion, bool molar, bool right) {
  const int up = right ? 1 : 2, low = right ? 4 : 3;
  const Vec3 along = side_direction(in, motion, low);
  if (molar) {
    return {point_of(in, tooth_point(10 * up + 6, "mesiobuccal_cusp")),
            point_of(in, tooth_point(10 * low + 6, "buccal_groove")), along};
  }
  return {point_of(in, tooth_point(10 * up + 3, "cusp_tip")),
          middle_of(in, tooth_point(10 * low + 3, "contact_distal"), tooth_point(10 * low + 4, "contact_mesial")),
          along};
}

SeatCondition condition_of(const MeasureInput& in, const Pose& motion, const std::string& id) {
  if (id == "overjet") return incisors(in, motion, "incisal_edge_labial", in.frame->forward);
  if (id == "overbite") return incisors(in, motion, "incisal_edge_mid", -in.frame->up);
  if (id == "midline_upper_lower") {
    return {middle_of(in, "11.contact_mesial", "21.contact_mesial"),
            middle_of(in, "41.contact_mesial", "31.contact_mesial"), in.frame->left};
  }
  return side_condition(in, motion, id[0] == 'm', id.find("right") != std::string::npos);
}

}  // namespace

std::vector<SeatCondition> settle_conditions(const MeasureInput& input, const SettleSettings& settings,
                                             const Pose& motion) {
  std::vector<SeatCondition> out;
  for (const auto& [id, target] : settings.pinned) {
    out.push_back(condition_of(input, motion, id));
    out.back().target_mm = target;
  }
  return out;
}

Status check_pins(const MeasureInput& input, const SettleSettings& settings) {
  for (const auto& [id, target] : settings.pinned) {
    if (std::find(std::begin(kPinnable), std::end(kPinnable), id) == std::end(kPinnable)) {
      std::string known;
      for (const char* name : kPinnable) known += (known.empty() ? "" : ", ") + std::string(name);
      return Error{"\"" + id + "\" cannot be pinned", "", "choose one of " + known};
    }
    std::string needs;
    for (const std::string& name : find_measure(id)->missing(input)) needs += (needs.empty() ? "" : ", ") + name;
    if (!needs.empty()) return Error{id + " cannot be pinned: not measurable", "", "place " + needs};
    if (!std::isfinite(target)) return Error{"the pinned " + id + " is no number", "", ""};
  }
  return Done{};
}

}  // namespace intercusp
