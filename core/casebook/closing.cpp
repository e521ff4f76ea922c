#include "casebook/closing.h"

#include <algorithm>
#include <cmath>
#include "anatomy/occlusal_frame.h"
#include "casebook/reports.h"
#include "geometry/posed_pair.h"
#include "geometry/sweep.h"

namespace intercusp {

namespace {

constexpr double kWide = 15;          ///< where the way to the first contact begins, degrees open
constexpr double kFarthestShut = 25;  ///< and how far beyond the present place it may lead
constexpr double kTogether = 0.01;    ///< degrees within which further pairs count as touching at once
constexpr double kAngle = 1e-9;       ///< to which an angle is sought, degrees

std::optional<Vec3> lower_incisors(const PointMap& points) {
  const auto right = points.find("41.incisal_edge_mid"), left = points.find("31.incisal_edge_mid");
  if (right == points.end() || left == points.end()) return std::nullopt;
  return Vec3(0.5 * (right->second + left->second));
}

class CloseFinder {
 public:
  CloseFinder(const Case& c, const SegmentPoses& poses, const HingeAxis& axis) : c_(c), poses_(poses), axis_(axis) {}

  /// The least open angle without overlap, and what touches there.
  Result<double> first_contact_angle(std::vector<Touch>& first) const {
    const SegmentPoses open = lower_jaw_turned(poses_, axis_, kWide);
    Sweep sweep{Sweep::Kind::turn, -axis_.direction, axis_.through, kWide + kFarthestShut};
    struct Met {
      double travel;
      Touch touch;
    };
    std::vector<Met> met;
    for (const ArchPair& pair : arch_pairs(c_)) {
      const auto hit = first_contact(*pair.upper->surface, pose_of_body(c_, *pair.upper, open), *pair.lower->surface,
                                     pose_of_body(c_, *pair.lower, open), sweep);
      if (!hit.ok()) return hit.error();
      if (hit.value()) met.push_back({hit.value()->travel, touch_of(pair, *hit.value())});
    }
    if (met.empty()) {
      return Error{"the arches do not meet when the lower jaw turns about this axis", "",
                   "check where the arches and the condyles are"};
    }
    std::stable_sort(met.begin(), met.end(), [](const Met& a, const Met& b) { return a.travel < b.travel; });
    if (met.front().travel <= 0) {
      return Error{"the arches overlap even with the jaw wide open", "", "move the upper jaw up or the lower one down"};
    }
    for (const Met& m : met) {
      if (m.travel < met.front().travel + kTogether) first.push_back(m.touch);
    }
    return kWide - met.front().travel;
  }

  /// Angle at which the lower incisal edges stand this far below the upper ones.
  Result<double> vertical_angle(double mm) const {
    const PointMap points = points_at(c_, poses_);
    const auto frame = maxillary_occlusal_frame(points);
    const auto lower = lower_incisors(points);
    if (!frame.ok()) return frame.error();
    if (!lower) return Error{"the vertical needs 41.incisal_edge_mid and 31.incisal_edge_mid", "", "place them"};
    const auto opening = [&](double deg) {
      return (frame.value().origin - axis_.opened(deg) * *lower).dot(frame.value().up) - mm;
    };
    double low = -kFarthestShut, high = 40;
    if (!(opening(low) < 0 && opening(high) > 0)) {
      return Error{"the jaw does not reach this vertical by turning about the axis", "", "choose another"};
    }
    return bisect(opening, low, high);
  }

  /// Angle from the first contact on at which the least gap between the arches is this wide.
  double gap_angle(double contact_deg, double mm) const {
    return bisect([&](double deg) { return least_gap(deg) - mm; }, contact_deg, contact_deg + 20);
  }

  ClosingResult result(double open_deg) const {
    ClosingResult r;
    r.closing.open_deg = open_deg;
    const PointMap points = points_at(c_, poses_);
    const Pose turn = axis_.opened(open_deg);
    if (const auto lower = lower_incisors(points)) r.incisors_moved = turn * *lower - *lower;
    const auto chin = points.find("Pog");
    r.chin_known = chin != points.end();
    if (r.chin_known) r.chin_moved = turn * chin->second - chin->second;
    return r;
  }

 private:
  template <class Function>
  static double bisect(Function f, double low, double high) {
    while (high - low > kAngle) {
      const double middle = 0.5 * (low + high);
      (f(middle) < 0 ? low : high) = middle;
    }
    return 0.5 * (low + high);
  }

  double least_gap(double open_deg) const {
    const SegmentPoses here = lower_jaw_turned(poses_, axis_, open_deg);
    double least = 1e9;
    for (const ArchPair& pair : arch_pairs(c_)) {
      const PosedPair posed = make_posed_pair(*pair.upper->surface, pose_of_body(c_, *pair.upper, here),
                                              *pair.lower->surface, pose_of_body(c_, *pair.lower, here));
      least = std::min(least, nearest_points(posed, any_points(posed)).distance_mm);
    }
    return least;
  }

  /// Teeth are told where the contact is, with the jaw turned there.
  Touch touch_of(const ArchPair& pair, const FirstContact& hit) const {
    const PointMap points = points_at(c_, lower_jaw_turned(poses_, axis_, kWide - hit.travel));
    return {pair.upper->name, pair.lower->name, tooth_at(points, hit.on_first, Jaw::upper),
            tooth_at(points, hit.on_first, Jaw::lower), hit.on_first};
  }

  const Case& c_;
  const SegmentPoses& poses_;
  const HingeAxis axis_;
};

std::string touch_words(const std::vector<Touch>& first) {
  std::string words;
  for (const Touch& touch : first) {
    const std::string teeth = touch.upper_tooth && touch.lower_tooth
                                  ? std::to_string(touch.upper_tooth) + " on " + std::to_string(touch.lower_tooth)
                                  : touch.upper_body + " on " + touch.lower_body;
    words += (words.empty() ? "" : ", ") + teeth;
  }
  return words;
}

/// The closing about one axis, wherever it lies.
Result<ClosingResult> close_about(const Case& c, const SegmentPoses& poses, const ClosingGoal& goal,
                                  const HingeAxis& axis) {
  if (arch_pairs(c).empty()) return Error{"closing needs an upper and a lower arch", "", "add the scans of the teeth"};
  const CloseFinder finder(c, poses, axis);
  std::vector<Touch> first;
  const auto contact = finder.first_contact_angle(first);
  if (!contact.ok()) return contact.error();
  double angle = contact.value();
  if (goal.until == ClosingGoal::Until::splint) angle = finder.gap_angle(angle, goal.mm);
  if (goal.until == ClosingGoal::Until::vertical) {
    const auto vertical = finder.vertical_angle(goal.mm);
    if (!vertical.ok()) return vertical.error();
    if (vertical.value() < angle) {
      return Error{"teeth meet before this vertical is reached: " + touch_words(first), "",
                   "choose a higher vertical, or move the jaws"};
    }
    angle = vertical.value();
  }
  ClosingResult result = finder.result(angle);
  result.first = std::move(first);
  result.closing.axis = goal.axis;
  result.closing.until = goal.until == ClosingGoal::Until::contact    ? "contact"
                         : goal.until == ClosingGoal::Until::vertical ? "vertical"
                                                                      : "splint";
  result.closing.until_mm = goal.until == ClosingGoal::Until::contact ? 0 : goal.mm;
  return result;
}

}  // namespace

SegmentPoses lower_jaw_turned(SegmentPoses poses, const HingeAxis& axis, double open_deg) {
  const Pose turn = axis.opened(open_deg);
  for (const std::string& segment : moved_with("lower")) {
    Pose& pose = poses.try_emplace(segment, Pose::Identity()).first->second;
    pose = turn * pose;
  }
  return poses;
}

std::vector<ArchPair> arch_pairs(const Case& c) {
  std::vector<ArchPair> pairs;
  const auto is_arch = [](const Body& b) { return b.name.find("arch") != std::string::npos; };
  for (const Body& upper : c.bodies) {
    if (!is_arch(upper) || !is_upper_name(upper.name)) continue;
    for (const Body& lower : c.bodies) {
      if (is_arch(lower) && is_lower_name(lower.name)) pairs.push_back({&upper, &lower});
    }
  }
  return pairs;
}

Result<ClosingResult> find_closing(const Case& c, const SegmentPoses& poses, const ClosingGoal& goal) {
  const auto axis = hinge_axis(points_at(c, poses), goal.axis);
  if (!axis.ok()) return axis.error();
  return close_about(c, poses, goal, axis.value());
}

std::vector<ClosingVariant> closing_variants(const Case& c, const SegmentPoses& poses, const ClosingGoal& goal) {
  std::vector<ClosingVariant> variants;
  const PointMap points = points_at(c, poses);
  const auto condyles = condylar_axis(points);
  if (!condyles.ok()) return variants;
  for (const PublishedCentre& centre : published_centres()) {
    double back = centre.back_mm, up = centre.up_mm;
    const auto right = points.find("Co_right"), left = points.find("Co_left");
    if (centre.from_condylion) {
      if (right == points.end() || left == points.end()) continue;
      const Vec3 from = 0.5 * (right->second + left->second) - condyles.value().through;
      back += from.y();
      up += from.z();
    }
    auto result = close_about(c, poses, goal, condyles.value().shifted(back, up));
    if (result.ok()) variants.push_back({centre.words, centre.source, back, up, std::move(result).value()});
  }
  return variants;
}

}  // namespace intercusp
