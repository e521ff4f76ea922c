#include "casebook/splint_case.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>

#include "anatomy/occlusal_frame.h"
#include "anatomy/tooth_at.h"
#include "base/parallel.h"
#include "casebook/closing.h"
#include "casebook/reports.h"
#include "casebook/splint_arches.h"
#include "geometry/posed_pair.h"

namespace intercusp {
namespace {

constexpr double kQuickStep = 0.9, kQuickTolerance = 0.05;  ///< mm
constexpr double kOpeningSteps = 0.05;                      ///< to which an opening is sought, mm

/// The splint stands on the chewing plane of the upper teeth; where that is not placed, upright in the patient frame.
Pose frame_of_splint(const PointMap& points, const Mesh& upper) {
  const auto frame = maxillary_occlusal_frame(points);
  if (frame.ok()) return patient_from_occlusal(frame.value()).inverse();
  return Pose(Eigen::Translation3d(bounds(upper).center()));
}

struct SplintHinge {
  HingeAxis axis;
  std::string words;
};

/// The best axis that the landmarks give. Without any: the equilateral triangle of the mandible, 101.6 mm a side
/// (Bonwill), whose plane stands 26 degrees to the chewing plane (Balkwill); both from memory.
Result<SplintHinge> hinge_for_opening(const PointMap& points) {
  for (const char* name : {"condyles", "arbitrary"}) {
    const auto axis = hinge_axis(points, name);
    if (axis.ok()) {
      return SplintHinge{axis.value(), std::string(name) == "condyles"
                                           ? "the condyles' centres"
                                           : "an arbitrary hinge axis by Bergstroem's points"};
    }
  }
  const auto frame = maxillary_occlusal_frame(points);
  const auto right = points.find("41.incisal_edge_mid"), left = points.find("31.incisal_edge_mid");
  if (!frame.ok() || right == points.end() || left == points.end()) {
    return Error{"opening needs the hinge axis, or the central incisors and first molars", "", "place the landmarks"};
  }
  const double reach = 101.6 * std::sqrt(0.75), angle = radians(26);
  HingeAxis axis;
  axis.direction = frame.value().left;
  axis.through = 0.5 * (right->second + left->second) - reach * std::cos(angle) * frame.value().forward +
                 reach * std::sin(angle) * frame.value().up;
  return SplintHinge{axis, "an average hinge axis (the case has no condyles)"};
}

/// The nearest points of the arches, asked for one relation after the other: sooner told than all of a contact.
class ArchDistance {
 public:
  ArchDistance(const Case& c, const SegmentPoses& poses) : c_(c), arches_(arch_pairs(c)), nearest_(arches_.size()) {
    for (const auto& [upper, lower] : arches_)
      pairs_.push_back(make_posed_pair(*upper->surface, pose_of_body(c, *upper, poses), *lower->surface,
                                       pose_of_body(c, *lower, poses)));
  }
  /// 0 where they meet; the bound where they are as far or farther.
  TriangleGap nearest(const SegmentPoses& poses, double bound_mm) {
    TriangleGap gap;
    gap.distance_mm = bound_mm;
    for (std::size_t i = 0; i < arches_.size(); ++i) {
      move(i, poses);
      gap = nearest_points(pairs_[i], gap);
    }
    return gap;
  }
  /// Whether they come nearer than this; sooner told where they did so in a relation asked for before.
  bool nearer_than(const SegmentPoses& poses, double gap_mm) {
    for (std::size_t i = 0; i < arches_.size(); ++i) {
      move(i, poses);
      if (still_nearer_than(i, gap_mm)) return true;
      TriangleGap gap;
      gap.distance_mm = gap_mm;
      NearestTriangles found = nearest_[i];
      if (nearest_points(pairs_[i], gap, &found).distance_mm >= gap_mm) continue;
      nearest_[i] = found;
      return true;
    }
    return false;
  }

 private:
  void move(std::size_t i, const SegmentPoses& poses) {
    move_posed_pair(pairs_[i], pose_of_body(c_, *arches_[i].upper, poses), pose_of_body(c_, *arches_[i].lower, poses));
  }
  bool still_nearer_than(std::size_t i, double gap_mm) const {
    const NearestTriangles& last = nearest_[i];
    if (last.first == kNoTriangle) return false;
    return triangle_distance(pairs_[i].corners(0, last.first), pairs_[i].corners(1, last.second)).distance_mm < gap_mm;
  }

  const Case& c_;
  std::vector<ArchPair> arches_;
  std::vector<PosedPair> pairs_;
  std::vector<NearestTriangles> nearest_;  ///< where they were last found too near
};

void name_teeth(const Case& c, const SegmentPoses& poses, ArchGap& gap) {
  const PointMap points = points_at(c, poses);
  gap.upper_tooth = tooth_at(points, gap.at, Jaw::upper);
  gap.lower_tooth = tooth_at(points, gap.at, Jaw::lower);
}

/// Least gap between the arches within `within`; infinite beyond. How deep they overlap is asked of the contact.
ArchGap gap_between(const Case& c, const SegmentPoses& poses, double within, KeptQueries& kept) {
  ArchGap least;
  least.gap_mm = std::numeric_limits<double>::infinity();
  ContactSettings settings;
  settings.band_mm = std::max(within, 0.5);
  const TriangleGap apart = ArchDistance(c, poses).nearest(poses, settings.band_mm);
  if (apart.distance_mm > 0) {
    if (apart.distance_mm >= settings.band_mm) return least;
    least.gap_mm = apart.distance_mm;
    least.at = apart.on_first;
    name_teeth(c, poses, least);
    return least;
  }
  for (const auto& [upper, lower] : arch_pairs(c)) {
    const ContactResult found = kept.at(upper->surface, pose_of_body(c, *upper, poses), lower->surface,
                                        pose_of_body(c, *lower, poses), settings);
    const bool overlap = !found.regions.empty();
    const double gap = overlap ? -found.regions[0].deepest_mm : found.minimum_distance_mm;
    if (gap >= least.gap_mm) continue;
    least.gap_mm = gap;
    least.at = overlap ? found.regions[0].at : found.nearest_first;
  }
  if (std::isfinite(least.gap_mm)) name_teeth(c, poses, least);
  return least;
}

std::string mm_text(double mm, const char* form = "%.2f mm") {
  char text[32];
  std::snprintf(text, sizeof text, form, mm);
  return text;
}

std::string teeth_text(const ArchGap& gap) {
  if (gap.upper_tooth == 0 || gap.lower_tooth == 0) return "";
  return " at " + std::to_string(gap.upper_tooth) + " on " + std::to_string(gap.lower_tooth);
}

/// Opens the lower jaw for a splint.
class SplintOpener {
 public:
  SplintOpener(const Case& c, const SegmentPoses& poses) : c_(c), poses_(poses), points_(points_at(c, poses)) {}

  Status find_axis() {
    auto hinge = hinge_for_opening(points_);
    if (!hinge.ok()) return hinge.error();
    hinge_ = std::move(hinge).value();
    const auto right = points_.find("41.incisal_edge_mid"), left = points_.find("31.incisal_edge_mid");
    if (right == points_.end() || left == points_.end()) {
      return Error{"the opening is measured at 41.incisal_edge_mid and 31.incisal_edge_mid", "", "place them"};
    }
    incisors_ = 0.5 * (right->second + left->second);
    return Done{};
  }

  /// The turn that takes the lower incisors this far from where they stand.
  double degrees_for(double mm) const {
    const Vec3 arm = incisors_ - hinge_.axis.through;
    const double radius = (arm - arm.dot(hinge_.axis.direction) * hinge_.axis.direction).norm();
    return degrees(2 * std::asin(std::min(1.0, 0.5 * mm / radius)));
  }

  SegmentPoses opened(double mm) const { return lower_jaw_turned(poses_, hinge_.axis, degrees_for(mm)); }

  /// The least opening, from `least` on, that leaves this gap; empty when none does.
  std::optional<double> opening_for(double gap_mm, double least) const {
    ArchDistance distance(c_, poses_);
    const auto short_of = [&](double mm) {
      if (gap_mm > 0) return distance.nearer_than(opened(mm), gap_mm);
      return gap_between(c_, opened(mm), gap_mm + 0.5, kept_).gap_mm < gap_mm;
    };
    if (!short_of(least)) return least;
    double low = least, high = least + 1;
    while (short_of(high)) {
      low = high;
      high += high;
      if (high > kFarthestOpeningMm) return std::nullopt;
    }
    while (high - low > kOpeningSteps) {
      const double middle = 0.5 * (low + high);
      (short_of(middle) ? low : high) = middle;
    }
    return high;
  }

  const std::string& axis_words() const { return hinge_.words; }
  KeptQueries& kept() const { return kept_; }

 private:
  const Case& c_;
  const SegmentPoses& poses_;
  const PointMap points_;
  SplintHinge hinge_;
  Vec3 incisors_ = Vec3::Zero();
  mutable KeptQueries kept_;  ///< they speed the search, and change no answer
};

/// What to do about a gap that is too small: the nearest opening that gives it.
std::string opening_remedy(const SplintOpener& opener, bool axis_known, double gap_mm, double from_mm) {
  const std::string otherwise = "change the plan";
  if (!axis_known) return otherwise + ", or place the landmarks of the hinge axis so that the bite can be opened";
  const auto opening = opener.opening_for(gap_mm, from_mm);
  if (!opening) return otherwise;
  // Rounded up: what is printed must do when it is typed.
  const double shown = std::ceil(10 * *opening) / 10;
  return "open the bite by at least " + mm_text(shown, "%.1f mm") + " at the incisors (opening " +
         mm_text(shown, "%.1f") + "), or " + otherwise;
}

Status check_gap(const CaseSplint& made, const SplintOpener& opener, bool axis_known) {
  const SplintSettings& settings = made.order.settings;
  const double gap = made.nearest.gap_mm, needed = settings.least_thickness_mm + 2 * settings.clearance_mm;
  if (gap < -settings.overlap_mm) {
    return Error{"the arches pass through each other by " + mm_text(-gap) + teeth_text(made.nearest) +
                     ", more than the " + mm_text(settings.overlap_mm) + " allowed",
                 "", opening_remedy(opener, axis_known, -0.8 * settings.overlap_mm, made.opened_mm)};
  }
  if (settings.refuse_thin && gap < needed) {
    return Error{"there is no room for a least thickness of " + mm_text(settings.least_thickness_mm) +
                     ": with the clearance the arches leave " +
                     mm_text(std::max(0.0, gap - 2 * settings.clearance_mm)) + teeth_text(made.nearest),
                 "", opening_remedy(opener, axis_known, needed, made.opened_mm)};
  }
  return Done{};
}

/// Opens as the order says.
Status open_for(const Case& c, CaseSplint& made, SplintOpener& opener) {
  const SplintOrder& order = made.order;
  const Status axis = opener.find_axis();
  const bool asked = order.opening_mm > 0 || order.open_for_thickness;
  if (asked && !axis.ok()) return axis.error();
  double opening = order.opening_mm;
  if (order.open_for_thickness) {
    const double needed = order.settings.least_thickness_mm + 2 * order.settings.clearance_mm;
    const auto found = opener.opening_for(needed, opening);
    if (!found) {
      return Error{"no opening up to " + mm_text(kFarthestOpeningMm, "%.0f mm") + " leaves room for " +
                       mm_text(order.settings.least_thickness_mm),
                   "", "change the plan"};
    }
    opening = *found;
  }
  if (opening > 0) {
    made.opened_mm = opening;
    made.opened_deg = opener.degrees_for(opening);
    made.axis = opener.axis_words();
    made.poses = opener.opened(opening);
  }
  made.nearest = gap_between(c, made.poses, 3, opener.kept());
  return check_gap(made, opener, axis.ok());
}

std::string tooth_of(const PointMap& points, const Vec3& at) {
  const int upper = tooth_at(points, at, Jaw::upper), lower = tooth_at(points, at, Jaw::lower);
  if (upper == 0 && lower == 0) return "";
  if (upper == 0 || lower == 0) return " at " + std::to_string(upper + lower);
  return " between " + std::to_string(upper) + " and " + std::to_string(lower);
}

/// The middle of what is placed on a tooth.
std::optional<Vec3> middle_of_tooth(const PointMap& points, int tooth) {
  Vec3 sum = Vec3::Zero();
  double count = 0;
  for (const std::string& name : landmarks_of_tooth(tooth)) {
    const auto found = points.find(name);
    if (found == points.end() || name.find("apex") != std::string::npos) continue;
    sum += found->second;
    ++count;
  }
  if (count == 0) return std::nullopt;
  return Vec3(sum / count);
}

/// Holes and relief at the teeth that the order names.
Status place_at_teeth(const PointMap& points, const SplintOrder& order, SplintSettings& settings) {
  for (const int tooth : order.holes) {
    const std::string name = std::to_string(tooth) + ".contact_mesial";
    const auto found = points.find(name);
    if (found == points.end())
      return Error{"a hole beside " + std::to_string(tooth) + " needs " + name, "", "place it"};
    settings.holes.push_back({found->second});
  }
  for (const auto& [tooth, extra] : order.relief) {
    const auto middle = middle_of_tooth(points, tooth);
    if (!middle) {
      return Error{"relief around " + std::to_string(tooth) + " needs a landmark on it", "", "place one"};
    }
    const bool upper = tooth / 10 == 1 || tooth / 10 == 2;
    SplintRelief relief;
    relief.at = *middle;
    relief.extra_mm = extra;
    (upper ? settings.upper_relief : settings.lower_relief).push_back(relief);
  }
  return Done{};
}

/// A tilt counts where it is given.
bool same_paths(const SplintSettings& a, const SplintSettings& b) {
  return a.find_path == b.find_path && a.upper_path_given == b.upper_path_given &&
         a.lower_path_given == b.lower_path_given && (!a.upper_path_given || a.upper_tilt_deg == b.upper_tilt_deg) &&
         (!a.lower_path_given || a.lower_tilt_deg == b.lower_tilt_deg);
}

}  // namespace

Status refuse_thin_walls(const Case& c, const CaseSplint& made) {
  const Splint& splint = made.splint;
  if (!made.order.settings.refuse_thin || splint.thin.empty()) return Done{};
  const PointMap points = points_at(c, made.poses);
  return Error{
      "the splint is only " + mm_text(splint.thin[0].thickness_mm) + " thick" + tooth_of(points, splint.thin[0].at), "",
      "ask for a least thickness of " + mm_text(splint.thin[0].thickness_mm) +
          ", open the bite further, or "
          "widen the rim"};
}

bool same_order(const SplintOrder& a, const SplintOrder& b) {
  const auto& numbers = splint_numbers();
  return a.stage == b.stage && a.opening_mm == b.opening_mm && a.open_for_thickness == b.open_for_thickness &&
         a.holes == b.holes && a.relief == b.relief && a.settings.refuse_thin == b.settings.refuse_thin &&
         a.raise_text == b.raise_text && same_paths(a.settings, b.settings) &&
         std::all_of(numbers.begin(), numbers.end(),
                     [&](const SplintNumber& n) { return a.settings.*n.member == b.settings.*n.member; });
}

SplintOrder quick_look(const SplintOrder& order) {
  SplintOrder quick = order;
  quick.settings.to_print = false;
  quick.settings.step_mm = std::max(kQuickStep, order.settings.step_mm);
  quick.settings.tolerance_mm = std::max(kQuickTolerance, order.settings.tolerance_mm);
  return quick;
}

Result<CaseSplint> splint_of_case(const Case& c, const Plan& plan, const std::string& digest, const SplintOrder& order,
                                  const Progress& progress) {
  const Status possible = check_settings(order.settings);
  if (!possible.ok()) return possible.error();
  auto poses = segment_poses(c, &plan, order.stage);
  if (!poses.ok()) return poses.error();
  CaseSplint made;
  made.order = order;
  made.digest = digest;
  made.poses = poses.value();
  SplintOpener opener(c, poses.value());
  const Status opened = open_for(c, made, opener);
  if (!opened.ok()) return opened.error();
  const PointMap points = points_at(c, made.poses);
  SplintRequest request;
  both([&] { request.upper = arches_together(c, made.poses, true); },
       [&] { request.lower = arches_together(c, made.poses, false); });
  if (order.settings.zone_room_mm > 0) {
    request.upper_zone = painted_together(c, made.poses, true);
    request.lower_zone = painted_together(c, made.poses, false);
  }
  request.frame = frame_of_splint(points, request.upper);
  request.settings = order.settings;
  if (order.raise_text) request.settings.raised_text = splint_labels(c, plan, order.stage, digest);
  const Status placed = place_at_teeth(points, order, request.settings);
  if (!placed.ok()) return placed.error();
  auto splint = make_splint(request, progress);
  if (!splint.ok()) return splint.error();
  made.splint = std::move(splint).value();
  const Status thick = refuse_thin_walls(c, made);
  if (!thick.ok()) return thick.error();
  return made;
}

}  // namespace intercusp
