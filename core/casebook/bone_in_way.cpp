#include "casebook/bone_in_way.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "casebook/cut_case.h"

namespace intercusp {

namespace {

constexpr double kCanalRadius = 1.5;  ///< from memory
// Nearer than that is said, mm: common practice, no source.
constexpr double kNearRoot = 2, kNearArtery = 3, kNearNerve = 2, kNearForamen = 5;
constexpr std::size_t kZonePoints = 300;

bool of_segment(const std::string& segment, const std::string& wanted) {
  return segment == wanted || (wanted == "maxilla" && segment.rfind("maxilla", 0) == 0);
}

std::vector<Vec3> zone_points(const OverlapPart& part) {
  std::vector<Vec3> zone{part.overlap.at};
  const std::size_t stride = std::max<std::size_t>(1, part.samples.size() / kZonePoints);
  for (std::size_t i = 0; i < part.samples.size(); i += stride) zone.push_back(part.samples[i]);
  return zone;
}

double from_chain(const std::vector<Vec3>& zone, const std::vector<Vec3>& chain) {
  double best = 1e9;
  for (const Vec3& p : zone) best = std::min(best, distance_to_chain(chain, p));
  return best;
}

std::vector<Vec3> mandibular_canal_line(const PointMap& points, const std::string& side) {
  std::vector<Vec3> line;
  const auto add = [&](const std::string& name) {
    const auto found = points.find(name + side);
    if (found != points.end()) line.push_back(found->second);
    return found != points.end();
  };
  if (!add("mandibular_foramen")) add("lingula");
  for (const char* place : {"ramus", "angle", "turn", "back", "front"}) add(std::string("mandibular_canal_") + place);
  add("mental_foramen");
  return line;
}

bool names_apex(const std::string& point) {
  return point.size() >= 4 && point[2] == '.' && point.compare(3, 4, "apex") == 0;
}

/// Which body is cut back: the tuberosity rather than the pterygoid plates, what stays rather than the maxilla with its
/// roots, the proximal segment, the chin, the lower jaw where it meets the upper.
std::string trimmed_body(const SiteSegment& a, const SiteSegment& b, const ContactPair& pair, const BoneSite& site) {
  const auto rank = [&](const std::string& segment) {
    if (segment.rfind("ramus", 0) == 0) return 5;
    if (segment == "chin") return 4;
    if (segment.rfind("maxilla", 0) == 0) return site.id == "pterygoid" ? 3 : 0;
    if (segment == "cranium") return 1;
    return 2;
  };
  return rank(a.name) >= rank(b.name) ? pair.first : pair.second;
}

}  // namespace

BoneInWayFinder::BoneInWayFinder(const Case& c, const Plan* plan, const SegmentPoses& poses, LatticeSize lattice)
    : c_(c), poses_(poses), lattice_(lattice), points_(points_at(c, poses)), sites_(points_at(c, {})) {
  for (const auto& [name, at] : points_) {
    if (names_apex(name)) apices_.push_back({name.substr(0, 2), at});
  }
  if (!plan) return;
  for (const PlanEntry& entry : plan->entries) {
    if (entry.kind != PlanEntry::Kind::cut) continue;
    const auto placed = place_sawings(c, entry.cut);
    if (!placed.ok()) continue;  // with_cuts made it already; a cut that has no place here names no wedge
    const CutSurface& surface = placed.value().front().surface;
    switch (entry.cut.kind) {
      case CutKind::lefort1:
        cuts_.push_back({surface, "cranium", "maxilla"});
        break;
      case CutKind::split_right:
        cuts_.push_back({surface, "ramus_right", "mandible"});
        break;
      case CutKind::split_left:
        cuts_.push_back({surface, "ramus_left", "mandible"});
        break;
      case CutKind::chin:
        cuts_.push_back({surface, "mandible", "chin"});
        break;
      case CutKind::pieces:
        break;
    }
  }
}

bool BoneInWayFinder::applies(const ContactPair& pair) {
  return !is_dental(pair.first) && !is_dental(pair.second);
}

PosedBone BoneInWayFinder::bone(const std::string& name) const {
  const Body& body = *c_.find_body(name);
  return {body.surface, pose_of_body(c_, body, poses_)};
}

SiteSegment BoneInWayFinder::segment(const std::string& name) const {
  const std::string segment = segment_of_body(c_, *c_.find_body(name));
  return {segment, pose_of_segment(poses_, segment)};
}

BoneSite BoneInWayFinder::site(const ContactPair& pair, const Vec3& p) const {
  return sites_.at(segment(pair.first), segment(pair.second), p);
}

const BoneInWayFinder::Cut* BoneInWayFinder::cut_between(const SiteSegment& a, const SiteSegment& b) const {
  for (const Cut& cut : cuts_) {
    if (of_segment(a.name, cut.fixed) && of_segment(b.name, cut.moved)) return &cut;
    if (of_segment(b.name, cut.fixed) && of_segment(a.name, cut.moved)) return &cut;
  }
  return nullptr;
}

/// Most of the overlap lies between two faces that the same leg of one cut made. Its deepest point alone would decide
/// by chance where an overlap reaches around a corner of the cut.
bool BoneInWayFinder::is_planned(const ContactPair& pair, const OverlapPart& part) const {
  if (!part.site.on_cut_line) return false;
  const SiteSegment a = segment(pair.first), b = segment(pair.second);
  const bool pieces = a.name.rfind("maxilla", 0) == 0 && b.name.rfind("maxilla", 0) == 0;
  const Cut* cut = cut_between(a, b);
  if (!cut) return pieces;
  const Pose from_a = a.pose.inverse(), from_b = b.pose.inverse();
  const auto between = [&](const Vec3& p) {
    return cut->surface.plane_at(from_a * p) == cut->surface.plane_at(from_b * p);
  };
  if (part.samples.empty()) return between(part.overlap.at);
  const auto within = std::count_if(part.samples.begin(), part.samples.end(), between);
  return 2 * static_cast<std::size_t>(within) > part.samples.size();
}

std::vector<BoneInWay> BoneInWayFinder::in(const ContactPair& pair) const {
  const SiteSegment a = segment(pair.first), b = segment(pair.second);
  OverlapQuestion question{bone(pair.first), bone(pair.second), [&](const Vec3& p) { return sites_.at(a, b, p); }, {}};
  question.lattice = lattice_;
  if (const Cut* cut = cut_between(a, b)) {
    const Pose& fixed = of_segment(a.name, cut->fixed) ? a.pose : b.pose;
    question.axis = [cut, fixed](const Vec3& p) {
      const auto facet = static_cast<std::size_t>(cut->surface.plane_at(fixed.inverse() * p));
      return Vec3(fixed.linear() * cut->surface.facets()[facet].normal);
    };
  }
  std::vector<BoneInWay> rows;
  for (OverlapPart& part : overlap_parts(question, pair.result)) {
    if (on_scanned_crowns(pair, part)) continue;
    BoneInWay row;
    row.first = pair.first;
    row.second = pair.second;
    row.planned = is_planned(pair, part);
    row.trimmed = trimmed_body(a, b, pair, part.site);
    row.touches = touched_by(part);
    row.part = std::move(part);
    rows.push_back(std::move(row));
  }
  return rows;
}

bool BoneInWayFinder::on_scanned_crowns(const ContactPair& pair, const OverlapPart& part) const {
  for (const std::string& name : {pair.first, pair.second}) {
    const Body& body = *c_.find_body(name);
    const Pose own = pose_of_body(c_, body, poses_).inverse();
    const ScannedCrowns crowns = crowns_over(c_, body);
    if (!may_show_crowns(crowns, own * part.overlap.at, part.overlap.deepest_mm)) continue;
    const SurfacePtr bared = bared_.of(body.surface, crowns);
    const auto on_crown = [&](const Vec3& p) { return on_scanned_crown(*body.surface, *bared, own * p); };
    if (bared != body.surface && on_crown(part.overlap.at) &&
        std::all_of(part.samples.begin(), part.samples.end(), on_crown))
      return true;
  }
  return false;
}

const std::string& BoneInWayFinder::tooth_of_apex(const Vec3& at) const {
  static const std::string none;
  const std::string* tooth = &none;
  double best = 1e18;
  for (const Apex& apex : apices_) {
    const double away = (apex.at - at).squaredNorm();
    if (away >= best) continue;
    best = away;
    tooth = &apex.tooth;
  }
  return *tooth;
}

void BoneInWayFinder::touch_roots(const std::vector<Vec3>& zone, std::vector<Touched>& out) const {
  std::map<std::string, double> nearest;
  const auto note = [&](const std::string& tooth, double away) {
    if (tooth.empty() || away > kNearRoot) return;
    double& best = nearest.try_emplace(tooth, away).first->second;
    best = std::min(best, away);
  };
  bool any_root = false;
  for (const Body& body : c_.bodies) {
    if (!holds_roots(body.name)) continue;
    any_root = true;
    const Pose pose = pose_of_body(c_, body, poses_), own = pose.inverse();
    for (const Vec3& p : zone) {
      ClosestPoint closest;
      if (!body.surface->bvh().closest(body.surface->mesh(), own * p, kNearRoot, closest)) continue;
      note(tooth_of_apex(pose * closest.point), closest.distance_mm);
    }
  }
  for (const Apex& apex : apices_) {
    if (!any_root) note(apex.tooth, from_chain(zone, {apex.at}));
  }
  for (const auto& [tooth, away] : nearest) out.push_back({"root of " + tooth, away});
}

std::vector<Touched> BoneInWayFinder::touched_by(const OverlapPart& part) const {
  const std::vector<Vec3> zone = zone_points(part);
  std::vector<Touched> out;
  touch_roots(zone, out);
  for (const std::size_t side : {0u, 1u}) {
    const std::string name = side == 0 ? "right" : "left";
    const double artery = from_chain(zone, sites_.palatine_canal(side)) - kCanalRadius;
    if (artery < kNearArtery) out.push_back({name + " descending palatine artery in its canal", artery});
    const double nerve = from_mandibular_canal(points_, name, zone).value_or(1e9);
    if (nerve < kNearNerve) out.push_back({name + " mandibular canal", nerve});
    for (const char* foramen : {"infraorbital", "mental"}) {
      const auto p = points_.find(std::string(foramen) + "_foramen_" + name);
      if (p == points_.end()) continue;
      const double away = from_chain(zone, {p->second});
      if (away < kNearForamen) out.push_back({name + " " + foramen + " foramen", away});
    }
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const Touched& a, const Touched& b) { return a.distance_mm < b.distance_mm; });
  return out;
}

std::optional<double> from_mandibular_canal(const PointMap& points, const std::string& side,
                                            const std::vector<Vec3>& places) {
  const auto canal = mandibular_canal_line(points, "_" + side);
  if (canal.empty()) return std::nullopt;
  return from_chain(places, canal) - kCanalRadius;
}

std::vector<BoneInWay> bone_in_way(const Case& c, const Plan* plan, const SegmentPoses& poses,
                                   const std::vector<ContactPair>& pairs, LatticeSize lattice) {
  const BoneInWayFinder finder(c, plan, poses, lattice);
  std::vector<BoneInWay> rows;
  for (const ContactPair& pair : pairs) {
    if (!BoneInWayFinder::applies(pair) || pair.result.regions.empty()) continue;
    for (BoneInWay& row : finder.in(pair)) rows.push_back(std::move(row));
  }
  std::stable_sort(rows.begin(), rows.end(), [](const BoneInWay& a, const BoneInWay& b) {
    if (a.planned != b.planned) return b.planned;
    return a.part.overlap.deepest_mm > b.part.overlap.deepest_mm;
  });
  return rows;
}

namespace {

/// Bones that were cut back from each other, each at its own places, are free only of what is left of the other.
void check_together(const Case& c, const SegmentPoses& poses, std::vector<TrimmedBone>& bones) {
  std::map<std::string, SurfacePtr> cut_back;
  for (const TrimmedBone& bone : bones) cut_back[bone.body] = nullptr;
  const auto posed = [&](const std::string& name) {
    const Body& body = *c.find_body(name);
    const auto found = cut_back.find(name);
    return PosedBone{found == cut_back.end() ? body.surface : found->second, pose_of_body(c, body, poses)};
  };
  const auto meets_another = [&](const TrimmedBone& bone) {
    return std::any_of(bone.others.begin(), bone.others.end(),
                       [&](const std::string& other) { return cut_back.count(other) > 0; });
  };
  if (std::none_of(bones.begin(), bones.end(), meets_another)) return;
  for (const TrimmedBone& bone : bones) cut_back[bone.body] = Surface::make(bone.removal.bone);
  for (TrimmedBone& bone : bones) {
    if (!meets_another(bone)) continue;
    std::vector<PosedBone> others;
    for (const std::string& other : bone.others) others.push_back(posed(other));
    check_free(posed(bone.body), others, bone.removal);
  }
}

}  // namespace

Result<std::vector<TrimmedBone>> trim_bones(const Case& c, const SegmentPoses& poses,
                                            const std::vector<BoneInWay>& rows, double clearance_mm, double step_mm,
                                            const Progress& progress) {
  // Around what the samples show, for what is thinner than they are apart and for what lies between places.
  constexpr double kSliver = 2.0;
  struct Zones {
    std::set<std::string> others;
    std::vector<Box> boxes;
  };
  std::map<std::string, Zones> of_body;
  for (const BoneInWay& row : rows) {
    Box box(row.part.overlap.at);
    for (const Vec3& p : row.part.samples) box.extend(p);
    Zones& zones = of_body[row.trimmed];
    zones.others.insert(row.trimmed == row.first ? row.second : row.first);
    zones.boxes.emplace_back(box.min() - Vec3::Constant(kSliver), box.max() + Vec3::Constant(kSliver));
  }
  const auto posed = [&](const std::string& name) {
    const Body& body = *c.find_body(name);
    return PosedBone{body.surface, pose_of_body(c, body, poses)};
  };
  std::vector<TrimmedBone> out;
  for (const auto& [name, zones] : of_body) {
    std::vector<PosedBone> others;
    for (const std::string& other : zones.others) others.push_back(posed(other));
    const double done = static_cast<double>(out.size()), all = static_cast<double>(of_body.size());
    Progress part([&](double share) {
      progress.report((done + share) / all);
      if (progress.cancelled()) part.cancel();
    });
    auto removal = preview_removal(posed(name), others, zones.boxes, clearance_mm, step_mm, part);
    if (!removal.ok()) return removal.error();
    out.push_back({name, {zones.others.begin(), zones.others.end()}, std::move(removal).value()});
  }
  check_together(c, poses, out);
  return out;
}

}  // namespace intercusp
