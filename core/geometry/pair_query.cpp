#include "geometry/pair_query.h"

#include <cmath>
#include <limits>

#include "geometry/contact_patches.h"
#include "geometry/crossings.h"
#include "geometry/inside_parts.h"
#include "geometry/lexicographic.h"
#include "geometry/overlap.h"

namespace intercusp {
namespace {

constexpr double kFar = std::numeric_limits<double>::infinity();
/// Blocks are listed with this much to spare, so that the list serves while the bodies move less than that, mm.
constexpr double kSpare = 0.1;

/// The nearest pair of points with a vertex of `body` among them, if that is nearer than `best`.
void nearest_vertex(const PosedPair& pair, std::size_t body, const VertexGaps& gaps, TriangleGap& best) {
  std::uint32_t nearest = kNone;
  for (std::uint32_t v = 0; v < gaps.gap_mm.size(); ++v) {
    if (!(std::abs(gaps.gap_mm[v]) < best.distance_mm)) continue;
    best.distance_mm = std::abs(gaps.gap_mm[v]);
    nearest = v;
  }
  if (nearest == kNone) return;
  const Vec3 own = pair.point(body, nearest);
  const Vec3 other = nearest_on_other(pair, body, gaps.nearest[nearest], own);
  best = body == 0 ? TriangleGap{best.distance_mm, own, other} : TriangleGap{best.distance_mm, other, own};
}

/// Gaps of the vertices inside that lie deeper than the band.
void find_gaps_inside(const PosedPair& pair, const InsideParts& inside, std::array<VertexGaps, 2>& gaps) {
  for (const InsidePart& part : inside.parts) {
    const Surface &own = *pair.surface[part.body], &other = *pair.surface[1u - part.body];
    VertexGaps& known = gaps[part.body];
    std::uint32_t near = other.bvh().order().front();
    for (const std::uint32_t v : part.vertices) {
      if (known.nearest[v] != kNoTriangle) continue;
      ClosestPoint closest;
      const Vec3 query = pair.other_from_own[part.body] * own.mesh().positions[v].cast<double>();
      other.bvh().closest_from(other.mesh(), query, kFar, near, closest);
      near = known.nearest[v] = closest.triangle;
      known.gap_mm[v] = -closest.distance_mm;
    }
  }
}

/// The first, in order of coordinates, of the points where the bodies touch.
Vec3 touching_point(const PosedPair& pair, const Crossings& crossings) {
  Vec3 first = Vec3::Constant(kFar);
  for (const auto& [a, b] : crossings.touching) {
    const Vec3 p = triangle_distance(pair.corners(0, a), pair.corners(1, b)).on_first;
    if (lexicographically_before(p, first)) first = p;
  }
  return first;
}

void set_minimum_distance(const PosedPair& pair, const Crossings& crossings, const std::array<VertexGaps, 2>& gaps,
                          const ContactSettings& settings, NearestTriangles& kept, ContactResult& result) {
  TriangleGap nearest{0, Vec3::Zero(), Vec3::Zero()};
  if (!result.regions.empty()) {
    nearest.on_first = nearest.on_second = result.regions.front().at;
  } else if (!crossings.touching.empty()) {
    nearest.on_first = nearest.on_second = touching_point(pair, crossings);
  } else {
    nearest = any_points(pair);
    for (std::size_t body = 0; body < 2; ++body) nearest_vertex(pair, body, gaps[body], nearest);
    nearest = nearest_points(pair, nearest, &kept, 1 - settings.nearest_off_share, settings.off_mm);
  }
  result.minimum_distance_mm = nearest.distance_mm;
  result.nearest_first = nearest.on_first;
  result.nearest_second = nearest.on_second;
}

}  // namespace

PairQuery::PairQuery(const Surface& first, const Surface& second) {
  pair_.surface = {&first, &second};
}

void PairQuery::pose(const Pose& first_pose, const Pose& second_pose) {
  if (!posed_) {
    pair_ = make_posed_pair(*pair_.surface[0], first_pose, *pair_.surface[1], second_pose);
  } else {
    move_posed_pair(pair_, first_pose, second_pose);
  }
  posed_ = true;
}

double PairQuery::moved_since_listing() const {
  // What a point moves by is linear in the point, so that a corner of the box moves farthest.
  const Box box = pair_.surface[0]->bvh().box().cast<double>();
  double farthest = 0;
  for (int corner = 0; corner < 8; ++corner) {
    const Vec3 p = box.corner(static_cast<Box::CornerType>(corner));
    farthest = std::max(farthest, (pair_.other_from_own[0] * p - listed_at_ * p).norm());
  }
  return farthest;
}

const std::vector<BlockPair>& PairQuery::close_blocks(double near_mm) {
  if (listed_within_ >= 0 && near_mm + moved_since_listing() <= listed_within_) return listed_;
  listed_.clear();
  listed_at_ = pair_.other_from_own[0];
  listed_within_ = near_mm + kSpare;
  CloseBlocks(pair_).visit(listed_within_, [this](const BlockPair& blocks) { listed_.push_back(blocks); });
  return listed_;
}

ContactResult PairQuery::at(const Pose& first_pose, const Pose& second_pose, const ContactSettings& settings) {
  pose(first_pose, second_pose);
  for (std::size_t body = 0; body < 2; ++body) find_vertex_gaps(pair_, body, settings.band_mm, gaps_[body]);
  const Crossings crossings = find_crossings(pair_, settings.contact_mm, close_blocks(settings.contact_mm));
  const InsideParts inside = find_inside_parts(pair_, crossings, gaps_);
  if (settings.all_inside) find_gaps_inside(pair_, inside, gaps_);
  Overlap overlap = find_overlap(pair_, crossings, inside, gaps_, settings.off_mm);

  ContactResult result;
  result.contacts = find_contact_patches(pair_, crossings, gaps_, overlap, settings.contact_mm);
  result.regions = std::move(overlap.regions);
  result.overlap_volume_mm3 = overlap.volume_mm3;
  result.volume_error_mm3 = overlap.volume_error_mm3;
  result.volume_why = std::move(overlap.volume_why);
  result.gap_first.assign(gaps_[0].gap_mm.begin(), gaps_[0].gap_mm.end());
  result.gap_second.assign(gaps_[1].gap_mm.begin(), gaps_[1].gap_mm.end());
  result.crossings = crossings.touching;
  set_minimum_distance(pair_, crossings, gaps_, settings, nearest_, result);
  return result;
}

ContactResult find_contact(const Surface& first, const Pose& first_pose, const Surface& second, const Pose& second_pose,
                           const ContactSettings& settings) {
  return PairQuery(first, second).at(first_pose, second_pose, settings);
}

}  // namespace intercusp
