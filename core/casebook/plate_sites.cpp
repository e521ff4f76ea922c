#include "casebook/plate_sites.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include "casebook/bone_in_way.h"
#include "casebook/cut_case.h"

namespace intercusp {

namespace {

constexpr double kBesideRim = 4;  ///< from the side of the nasal opening to the plate, mm: common practice, no source
/// From the molars' contact down to the plate of a split: looked for from the first on, until the screws are clear of
/// roots and canal; likewise.
constexpr double kBelowContact[] = {12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22};
constexpr double kClear = 1;       ///< mm of a screw's line from root and canal, likewise
constexpr double kBesideChin = 7;  ///< from the midline, likewise

std::optional<Vec3> placed(const PointMap& points, const std::string& name) {
  const auto found = points.find(name);
  return found == points.end() ? std::nullopt : std::optional<Vec3>(found->second);
}

std::optional<Vec3> middle_of(const PointMap& points, const std::string& a, const std::string& b) {
  const auto p = placed(points, a), q = placed(points, b);
  return p && q ? std::optional<Vec3>(0.5 * (*p + *q)) : std::nullopt;
}

class PlateFinder {
 public:
  PlateFinder(const Case& c, const SegmentPoses& poses)
      : c_(c), poses_(poses), rest_(points_at(c, {})), now_(points_at(c, poses)) {}

  void add(const Osteotomy& cut) {
    const auto made = place_sawings(c_, cut);
    if (!made.ok()) return;
    const CutSurface& surface = made.value().front().surface;
    switch (cut.kind) {
      case CutKind::lefort1:
        for (const bool right : {true, false}) add_upper(surface, right);
        break;
      case CutKind::split_right:
      case CutKind::split_left:
        add_split(surface, cut.kerf_mm(), cut.kind == CutKind::split_right);
        break;
      case CutKind::chin:
        for (const bool right : {true, false}) add_chin(surface, right);
        break;
      case CutKind::pieces:
        break;
    }
  }

  std::vector<PlateGap> take() { return std::move(out_); }

 private:
  std::vector<PosedBone> bones(const std::string& segment, bool roots = false) const {
    std::vector<PosedBone> list;
    for (const Body& body : c_.bodies) {
      if (roots ? !holds_roots(body.name) : is_dental(body.name)) continue;
      const std::string own = segment_of_body(c_, body);
      const bool wanted = own == segment || (segment == "maxilla" && own.rfind("maxilla", 0) == 0);
      if (roots || wanted) list.push_back({body.surface, pose_of_body(c_, body, poses_)});
    }
    return list;
  }

  void measure(const PlateSite& site, const std::string& reference, const std::string& other) {
    if (auto gap = measured(site, reference, other)) out_.push_back(*gap);
  }

  std::optional<PlateGap> measured(PlateSite site, const std::string& reference, const std::string& other,
                                   const SawnFaceTest& sawn = {}) const {
    // The reference bone of a split and of the chin may have moved as well: the site goes with it.
    const auto pose = poses_.find(reference);
    if (pose != poses_.end()) {
      site.anchor = pose->second * site.anchor;
      site.outward = pose->second.linear() * site.outward;
      site.across = pose->second.linear() * site.across;
    }
    return measure_plate_gap(site, bones(reference), bones(other), bones("", true), kScrewLength, sawn);
  }

  /// How far both screws stay from roots and from the canal of that side, mm; large where neither is known.
  double clearance_of(const PlateGap& gap, const std::string& side) const {
    double least = 1e9;
    for (const auto& screw : {gap.reference_screw, gap.other_screw}) {
      if (!screw) continue;
      least = std::min(least, screw->path_to_root_mm.value_or(1e9));
      const std::vector<Vec3> along{screw->entry, 0.5 * (screw->entry + screw->tip), screw->tip};
      least = std::min(least, from_mandibular_canal(now_, side, along).value_or(1e9));
    }
    return least;
  }

  static std::string tail(bool right) { return right ? "_right" : "_left"; }
  static std::string side(bool right) { return right ? "right " : "left "; }

  /// The point of the cut at a place, and the site's direction across it.
  static void on_cut(const CutSurface& surface, PlateSite& site) {
    const auto facet = surface.facets()[static_cast<std::size_t>(surface.plane_at(site.anchor))];
    site.anchor -= surface.value(site.anchor) * facet.normal;
    site.across = -facet.normal;
    site.outward = (site.outward - site.outward.dot(site.across) * site.across).normalized();
  }

  void add_upper(const CutSurface& surface, bool right) {
    const Vec3 away(right ? -1 : 1, 0, 0);
    if (const auto rim = placed(rest_, "NC" + tail(right))) {
      PlateSite site{
          "piriform_rim" + tail(right), side(right) + "piriform rim", *rim + kBesideRim * away, -Vec3::UnitY(), {}};
      on_cut(surface, site);
      measure(site, "cranium", "maxilla");
    }
    if (const auto hollow = placed(rest_, "J" + tail(right))) {
      PlateSite site{"buttress" + tail(right), side(right) + "zygomatic buttress", *hollow + 6 * away, away, {}};
      on_cut(surface, site);
      measure(site, "cranium", "maxilla");
    }
  }

  /// Whether a point of a segment, where that stands, lies on a side of the saw.
  std::function<bool(const Vec3&)> on_saw(const CutSurface& surface, double kerf, const std::string& segment) const {
    constexpr double kOff = 0.01;  // the saw is laid aside by up to 0.002, and vertices are floats
    const Pose at_rest = pose_of_segment(poses_, segment).inverse();
    return [surface, kerf, at_rest](const Vec3& p) {
      return std::abs(std::abs(surface.value(at_rest * p)) - 0.5 * kerf) < kOff;
    };
  }

  void add_split(const CutSurface& surface, double kerf, bool right) {
    const std::string six = right ? "46" : "36", seven = right ? "47" : "37";
    const auto contact = middle_of(rest_, six + ".contact_distal", seven + ".contact_mesial");
    if (!contact) return;
    const Vec3 away(right ? -1 : 1, 0, 0);
    const std::string ramus = "ramus" + tail(right), which = right ? "right" : "left";
    const SawnFaceTest sawn{on_saw(surface, kerf, ramus), on_saw(surface, kerf, "mandible")};
    std::optional<PlateGap> best;
    double clear = -1;
    for (const double below : kBelowContact) {
      const PlateSite site{"split" + tail(right), side(right) + "ramus, front of the split",
                           *contact - below * Vec3::UnitZ() + 6 * away, away, -Vec3::UnitY()};
      const auto gap = measured(site, ramus, "mandible", sawn);
      if (!gap || (best && best->facing && !gap->facing)) continue;
      const double here = clearance_of(*gap, which);
      if (best && gap->facing == best->facing && here <= clear) continue;
      best = gap;
      clear = here;
      if (gap->facing && clear >= kClear) break;
    }
    if (best) out_.push_back(*best);
  }

  void add_chin(const CutSurface& surface, bool right) {
    const auto front = placed(rest_, "Pog");
    if (!front) return;
    PlateSite site{"chin" + tail(right),
                   side(right) + "side of the chin",
                   *front + Vec3(right ? -kBesideChin : kBesideChin, 0, 0),
                   -Vec3::UnitY(),
                   {}};
    on_cut(surface, site);
    // A chin's piece lies on the positive or negative side of its cut; it is below either way.
    if (site.across.z() > 0) site.across = -site.across;
    measure(site, "mandible", "chin");
  }

  const Case& c_;
  const SegmentPoses& poses_;
  PointMap rest_, now_;
  std::vector<PlateGap> out_;
};

}  // namespace

std::vector<PlateGap> plate_gaps(const Case& c, const Plan* plan, const SegmentPoses& poses) {
  PlateFinder finder(c, poses);
  if (plan) {
    for (const PlanEntry& entry : plan->entries) {
      if (entry.kind == PlanEntry::Kind::cut) finder.add(entry.cut);
    }
  }
  return finder.take();
}

std::string point_of_chin(const Case& c, const PointMap& points) {
  for (const char* name : {"Gn", "Me", "Pog"}) {
    if (points.count(name) != 0 && segment_of_landmark(c, name) == "chin") return name;
  }
  return {};
}

PlanExtent extent_of(const Case& c, const SegmentPoses& poses) {
  PlanExtent e;
  const PointMap before = points_at(c, {}), after = points_at(c, poses);
  const auto shift = [&](const std::string& a, const std::string& b) -> std::optional<Vec3> {
    const auto from = middle_of(before, a, b), to = middle_of(after, a, b);
    return from && to ? std::optional<Vec3>(*to - *from) : std::nullopt;
  };
  const auto upper = shift("11.incisal_edge_mid", "21.incisal_edge_mid");
  const auto molars = shift("16.mesiobuccal_cusp", "26.mesiobuccal_cusp");
  const auto lower = shift("41.incisal_edge_mid", "31.incisal_edge_mid");
  if (upper) {
    e.maxilla_forward_mm = -upper->y();
    e.maxilla_up_mm = molars ? 0.5 * (upper->z() + molars->z()) : upper->z();
    e.sideways_mm = std::abs(upper->x());
  }
  const auto width = [](const PointMap& points) -> std::optional<double> {
    const auto right = placed(points, "16.mesiobuccal_cusp"), left = placed(points, "26.mesiobuccal_cusp");
    return right && left ? std::optional<double>((*left - *right).norm()) : std::nullopt;
  };
  if (width(before)) e.maxilla_wider_mm = *width(after) - *width(before);
  if (lower) {
    e.mandible_forward_mm = -lower->y();
    e.sideways_mm = std::max(e.sideways_mm, std::abs(lower->x()));
  }
  // Where the chin turns, it makes a difference which of its points is taken.
  const std::string of_chin = point_of_chin(c, before);
  if (const auto chin = placed(before, of_chin.empty() ? "Pog" : of_chin.c_str()); chin && poses.count("chin") != 0) {
    const Vec3 against = pose_of_segment(poses, "chin") * *chin - pose_of_segment(poses, "mandible") * *chin;
    e.chin_forward_mm = -against.y();
    e.chin_up_mm = against.z();
  }
  for (const auto& [segment, moved] : poses) {
    if (segment.rfind("ramus", 0) == 0) continue;
    const Angles turned = angles_of(moved.linear());
    e.turned_deg = std::max({e.turned_deg, std::abs(turned.yaw_deg), std::abs(turned.roll_deg)});
  }
  return e;
}

}  // namespace intercusp
