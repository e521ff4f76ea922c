#include "geometry/posed_pair.h"

#include <algorithm>

namespace intercusp {
namespace {

std::vector<Vec3> moved(const Mesh& mesh, const Pose& pose) {
  std::vector<Vec3> points(mesh.positions.size());
  for (std::size_t i = 0; i < points.size(); ++i) points[i] = pose * mesh.positions[i].cast<double>();
  return points;
}

bool before(const std::vector<Vec3>& a, const std::vector<Vec3>& b) {
  return std::lexicographical_compare(a.begin(), a.end(), b.begin(), b.end(), [](const Vec3& p, const Vec3& q) {
    return std::lexicographical_compare(p.data(), p.data() + 3, q.data(), q.data() + 3);
  });
}

struct PendingPair {
  std::uint32_t first, second;
  double distance_sq;
};

/// Depth-first search, nearer pair of boxes first.
class Search {
 public:
  Search(const PosedPair& pair, const TriangleGap& bound)
      : pair_(pair),
        a_(pair.surface[0]->bvh().nodes()),
        b_(pair.surface[1]->bvh().nodes()),
        pose_(pair.other_from_own[0]),
        magnitude_(pose_.linear().cwiseAbs()),
        best_(bound) {}

  TriangleGap run() {
    open_.push_back(pending(0, 0));
    while (!open_.empty()) {
      const PendingPair next = open_.back();
      open_.pop_back();
      if (next.distance_sq > best_.distance_mm * best_.distance_mm) continue;
      const Bvh::Node &a = a_[next.first], &b = b_[next.second];
      if (a.count > 0 && b.count > 0) {
        try_leaves(a, b);
      } else if (b.count > 0 || (a.count == 0 && a.box.sizes().sum() >= b.box.sizes().sum())) {
        push(pending(a.first, next.second), pending(a.first + 1, next.second));
      } else {
        push(pending(next.first, b.first), pending(next.first, b.first + 1));
      }
    }
    return best_;
  }

 private:
  PendingPair pending(std::uint32_t i, std::uint32_t j) const {
    return {i, j, distance_sq(moved_box(a_[i].box, pose_, magnitude_), b_[j].box)};
  }
  void push(PendingPair near, PendingPair far) {
    if (far.distance_sq < near.distance_sq) std::swap(near, far);
    open_.push_back(far);
    open_.push_back(near);
  }
  void try_leaves(const Bvh::Node& a, const Bvh::Node& b) {
    for (std::uint32_t i = a.first; i < a.first + a.count; ++i) {
      const Corners t = pair_.corners(0, pair_.surface[0]->bvh().order()[i]);
      for (std::uint32_t j = b.first; j < b.first + b.count; ++j) {
        const TriangleGap gap = triangle_distance(t, pair_.corners(1, pair_.surface[1]->bvh().order()[j]));
        if (gap.distance_mm < best_.distance_mm) best_ = gap;
      }
    }
  }

  const PosedPair& pair_;
  const std::vector<Bvh::Node>&a_, &b_;
  const Pose& pose_;
  const Mat3 magnitude_;
  TriangleGap best_;
  std::vector<PendingPair> open_;
};

}  // namespace

Corners PosedPair::corners(std::size_t body, std::uint32_t triangle) const {
  const Triangle& t = surface[body]->mesh().triangles[triangle];
  return {points[body][t[0]], points[body][t[1]], points[body][t[2]]};
}

PosedPair make_posed_pair(const Surface& first, const Pose& first_pose, const Surface& second,
                          const Pose& second_pose) {
  PosedPair pair;
  pair.surface = {&first, &second};
  pair.pose = {first_pose, second_pose};
  pair.other_from_own = {second_pose.inverse() * first_pose, first_pose.inverse() * second_pose};
  pair.points = {moved(first.mesh(), first_pose), moved(second.mesh(), second_pose)};
  if (before(pair.points[1], pair.points[0])) pair.shift = {-1, 1};
  return pair;
}

TriangleGap nearest_points(const PosedPair& pair, TriangleGap bound) {
  if (pair.surface[0]->bvh().nodes().empty() || pair.surface[1]->bvh().nodes().empty()) return bound;
  return Search(pair, bound).run();
}

}  // namespace intercusp
