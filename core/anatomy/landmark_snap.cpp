#include "anatomy/landmark_snap.h"

#include <limits>
#include <set>

namespace intercusp {

namespace {

std::size_t nearest_free_vertex(const Mesh& mesh, const Vec3f& p, const std::set<std::size_t>& taken) {
  std::size_t best = 0;
  float least = std::numeric_limits<float>::infinity();
  for (std::size_t i = 0; i < mesh.positions.size(); ++i) {
    const float d = (mesh.positions[i] - p).squaredNorm();
    if (d >= least || taken.count(i)) continue;
    least = d;
    best = i;
  }
  return best;
}

}  // namespace

void snap_to_landmarks(Mesh& mesh, const LandmarkSet& landmarks, Jaw jaw) {
  std::set<std::size_t> taken;
  std::vector<Vec3f> placed;
  for (const auto& [name, landmark] : landmarks) {
    if (jaw_of_landmark(name) != jaw || name.find(".apex") != std::string::npos) continue;
    const Vec3f p = landmark.at.cast<float>();
    // Neighbours share their contact point.
    bool there = false;
    for (const Vec3f& other : placed) there = there || (other - p).squaredNorm() < 1e-8f;
    if (there) continue;
    const std::size_t vertex = nearest_free_vertex(mesh, p, taken);
    mesh.positions[vertex] = p;
    taken.insert(vertex);
    placed.push_back(p);
  }
}

}  // namespace intercusp
