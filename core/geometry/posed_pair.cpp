#include "geometry/posed_pair.h"

#include <algorithm>
#include <limits>

#include "geometry/close_pairs.h"
#include "geometry/lexicographic.h"

namespace intercusp {
namespace {

void move(const Mesh& mesh, const Pose& pose, std::vector<Vec3>& points) {
  points.resize(mesh.positions.size());
  for (std::size_t i = 0; i < points.size(); ++i) points[i] = pose * mesh.positions[i].cast<double>();
}

bool before(const std::vector<Vec3>& a, const std::vector<Vec3>& b) {
  return std::lexicographical_compare(a.begin(), a.end(), b.begin(), b.end(), [](const Vec3& p, const Vec3& q) {
    return std::lexicographical_compare(p.data(), p.data() + 3, q.data(), q.data() + 3);
  });
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
  return {points[body][t[0]], points[body][t[1]], points[body][t[2]]};
}

namespace {

void set_poses(PosedPair& pair, const Pose& first_pose, const Pose& second_pose) {
  pair.pose = {first_pose, second_pose};
  pair.other_from_own = {second_pose.inverse() * first_pose, first_pose.inverse() * second_pose};
  const bool turned = before(pair.points[1], pair.points[0]);
  pair.shift = {turned ? -1 : 1, turned ? 1 : -1};
}

}  // namespace

PosedPair make_posed_pair(const Surface& first, const Pose& first_pose, const Surface& second,
                          const Pose& second_pose) {
  PosedPair pair;
  pair.surface = {&first, &second};
  move(first.mesh(), first_pose, pair.points[0]);
  move(second.mesh(), second_pose, pair.points[1]);
  set_poses(pair, first_pose, second_pose);
  return pair;
}

void move_posed_pair(PosedPair& pair, const Pose& first_pose, const Pose& second_pose) {
  const Pose* poses[2] = {&first_pose, &second_pose};
  for (std::size_t body = 0; body < 2; ++body) {
    const bool stays = pair.pose[body].matrix() == poses[body]->matrix();
    if (!stays) move(pair.surface[body]->mesh(), *poses[body], pair.points[body]);
  }
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

TriangleGap nearest_points(const PosedPair& pair, TriangleGap bound) {
  CloseBlocks close(pair);
  const Bvh &first = pair.surface[0]->bvh(), &second = pair.surface[1]->bvh();
  close.visit_nearest_first(bound.distance_mm, [&](const BlockPair& blocks) {
    close.triangles(blocks, bound.distance_mm, [&](std::uint32_t i, std::uint32_t j) {
      const TriangleGap gap = triangle_distance(pair.corners(0, first.order()[i]), pair.corners(1, second.order()[j]));
      if (nearer(gap, bound)) bound = gap;
    });
  });
  return bound;
}

}  // namespace intercusp
