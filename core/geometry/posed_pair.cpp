#include "geometry/posed_pair.h"

#include <algorithm>
#include <limits>
#include <optional>

#include "geometry/close_pairs.h"
#include "geometry/lexicographic.h"
#include "geometry/reach_along.h"

namespace intercusp {
namespace {

/// Whether the vertices of `body` come before those of the other one in order of coordinates.
bool before(const PosedPair& pair, std::size_t body) {
  const std::size_t own = pair.surface[body]->mesh().positions.size();
  const std::size_t other = pair.surface[1 - body]->mesh().positions.size();
  for (std::uint32_t v = 0; v < std::min(own, other); ++v) {
    const Vec3 p = pair.point(body, v), q = pair.point(1 - body, v);
    if (p != q) return lexicographically_before(p, q);
  }
  return own < other;
}

/// Of places equally near the first in order of coordinates, so that the way of searching does not show.
bool nearer(const TriangleGap& a, const TriangleGap& b) {
  if (a.distance_mm != b.distance_mm) return a.distance_mm < b.distance_mm;
  if (a.on_first != b.on_first) return lexicographically_before(a.on_first, b.on_first);
  return lexicographically_before(a.on_second, b.on_second);
}

}  // namespace

Corners PosedPair::corners(std::size_t body, std::uint32_t triangle) const {
  const Triangle& t = surface[body]->mesh().triangles[triangle];
  return {point(body, t[0]), point(body, t[1]), point(body, t[2])};
}

namespace {

void set_poses(PosedPair& pair, const Pose& first_pose, const Pose& second_pose) {
  pair.pose = {first_pose, second_pose};
  pair.other_from_own = {second_pose.inverse() * first_pose, first_pose.inverse() * second_pose};
  const bool turned = before(pair, 1);
  pair.shift = {turned ? -1 : 1, turned ? 1 : -1};
}

}  // namespace

PosedPair make_posed_pair(const Surface& first, const Pose& first_pose, const Surface& second,
                          const Pose& second_pose) {
  PosedPair pair;
  pair.surface = {&first, &second};
  set_poses(pair, first_pose, second_pose);
  return pair;
}

void move_posed_pair(PosedPair& pair, const Pose& first_pose, const Pose& second_pose) {
  set_poses(pair, first_pose, second_pose);
}

TriangleGap any_points(const PosedPair& pair) {
  const Bvh &first = pair.surface[0]->bvh(), &second = pair.surface[1]->bvh();
  TriangleGap found{std::numeric_limits<double>::infinity(), Vec3::Zero(), Vec3::Zero()};
  if (first.empty() || second.empty()) return found;
  found.on_first = pair.corners(0, first.order().front())[0];
  found.on_second = pair.corners(1, second.order().front())[0];
  found.distance_mm = (found.on_first - found.on_second).norm();
  return found;
}

namespace {

/// From points of the first body, spread over it, to the second one: two triangles that lie near each other.
NearestTriangles some_near_triangles(const PosedPair& pair, double limit_mm) {
  constexpr std::size_t kProbes = 128;
  NearestTriangles near;
  const std::array<const Surface*, 2>& s = pair.surface;
  const std::vector<std::uint32_t>& order = s[0]->bvh().order();
  ClosestPoint best;
  for (std::size_t i = 0; i < kProbes; ++i) {
    const std::uint32_t t = order[i * order.size() / kProbes];
    if (!s[1]->bvh().closest(s[1]->mesh(), pair.other_from_own[0] * s[0]->mesh().corner(t, 0), limit_mm, best))
      continue;
    limit_mm = best.distance_mm;
    near = {t, best.triangle};
  }
  return near;
}

/// Back and forth from one body to the nearest point of the other, as long as it brings them nearer, so that the
/// search for the nearest leaves most out from the beginning.
NearestTriangles brought_nearer(const PosedPair& pair, NearestTriangles near) {
  constexpr std::size_t kTurns = 12;
  const std::array<const Surface*, 2>& s = pair.surface;
  const TriangleGap gap = triangle_distance(pair.corners(0, near.first), pair.corners(1, near.second));
  double limit_mm = gap.distance_mm;
  ClosestPoint best;
  best.point = pair.pose[0].inverse() * gap.on_first;
  for (std::size_t turn = 0; turn < kTurns; ++turn) {
    const std::size_t to = 1 - turn % 2;
    if (!s[to]->bvh().closest(s[to]->mesh(), pair.other_from_own[1 - to] * best.point, limit_mm, best)) break;
    (to == 0 ? near.first : near.second) = best.triangle;
    if (turn > 0 && best.distance_mm > (1 - 1e-3) * limit_mm) break;
    limit_mm = best.distance_mm;
  }
  return near;
}

/// Whether what lies below two nodes may be as near as `gap`, told along the line of that gap. Only where many nodes
/// are open: a search that the boxes keep short does without.
class NearAlong {
 public:
  NearAlong(const PosedPair& pair, const TriangleGap& gap)
      : pair_(pair), line_((gap.on_second - gap.on_first) / gap.distance_mm) {}

  bool may_be_within(double limit_mm, Bvh::Place first, Bvh::Place second) {
    if (std::max(first.level, second.level) > ReachAlong::kHighest || ++asked_ <= kMany) return true;
    if (!first_) {
      first_.emplace(pair_, 0, line_);
      second_.emplace(pair_, 1, -line_);
    }
    const double apart = -second_->of(second) - first_->of(first);
    return !(apart > limit_mm + kRounding);  // no number where the bodies touch
  }

 private:
  static constexpr double kRounding = 1e-7;  ///< mm, amply
  static constexpr int kMany = 1000;
  const PosedPair& pair_;
  Vec3 line_;
  int asked_ = 0;
  std::optional<ReachAlong> first_, second_;
};

}  // namespace

TriangleGap nearest_points(const PosedPair& pair, TriangleGap bound, NearestTriangles* kept, double share,
                           double off_mm) {
  const Bvh &first = pair.surface[0]->bvh(), &second = pair.surface[1]->bvh();
  if (first.empty() || second.empty()) return bound;
  NearestTriangles found;
  double wanted = 0;  // what is farther need not be looked at
  const auto narrow = [&] { wanted = std::max(0.0, share * bound.distance_mm - off_mm); };
  narrow();
  const auto offer = [&](std::uint32_t a, std::uint32_t b) {
    const TriangleGap gap = triangle_distance(pair.corners(0, a), pair.corners(1, b));
    if (!nearer(gap, bound)) return;
    bound = gap;
    narrow();
    found = {a, b};
  };
  const bool known = kept && kept->first != kNoTriangle;
  NearestTriangles start = known ? *kept : some_near_triangles(pair, bound.distance_mm);
  if (start.first != kNoTriangle) {
    start = brought_nearer(pair, start);
    offer(start.first, start.second);
  }
  CloseBlocks close(pair);
  NearAlong along(pair, bound);
  close.visit_nearest_first(
      wanted, [&](Bvh::Place a, Bvh::Place b) { return along.may_be_within(wanted, a, b); },
      [&](const BlockPair& blocks) {
        close.triangles(blocks, wanted,
                        [&](std::uint32_t i, std::uint32_t j) { offer(first.order()[i], second.order()[j]); });
      });
  if (kept) *kept = found;
  return bound;
}

}  // namespace intercusp
