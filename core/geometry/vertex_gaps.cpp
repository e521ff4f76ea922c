#include "geometry/vertex_gaps.h"

#include <limits>

#include "geometry/signed_distance.h"
#include "geometry/triangle_closest.h"

namespace intercusp {
namespace {

class Measurer {
 public:
  Measurer(const PosedPair& pair, std::size_t body, double band_mm)
      : own_(*pair.surface[body]),
        other_(*pair.surface[1 - body]),
        pose_(pair.other_from_own[body]),
        magnitude_(pose_.linear().cwiseAbs()),
        band_(band_mm) {
    gaps_.gap_mm.assign(own_.mesh().positions.size(), std::numeric_limits<double>::quiet_NaN());
    gaps_.nearest.assign(own_.mesh().positions.size(), kNoTriangle);
    seen_.assign(own_.mesh().positions.size(), false);
  }

  VertexGaps run() {
    const auto& nodes = own_.bvh().nodes();
    const auto& others = other_.bvh().nodes();
    if (nodes.empty() || others.empty()) return std::move(gaps_);
    hint_ = other_.bvh().order().front();
    std::vector<std::uint32_t> open{0};
    while (!open.empty()) {
      const Bvh::Node& node = nodes[open.back()];
      open.pop_back();
      if (distance_sq(moved_box(node.box, pose_, magnitude_), others[0].box) > band_ * band_) continue;
      if (node.count > 0) {
        measure_leaf(node);
      } else {
        open.push_back(node.first + 1);
        open.push_back(node.first);
      }
    }
    return std::move(gaps_);
  }

 private:
  void measure_leaf(const Bvh::Node& leaf) {
    for (std::uint32_t slot = leaf.first; slot < leaf.first + leaf.count; ++slot) {
      for (const std::uint32_t v : own_.mesh().triangles[own_.bvh().order()[slot]]) {
        if (seen_[v]) continue;
        seen_[v] = true;
        measure(v);
      }
    }
  }
  void measure(std::uint32_t v) {
    const Vec3 query = pose_ * own_.mesh().positions[v].cast<double>();
    ClosestPoint closest;
    if (!other_.bvh().closest_from(other_.mesh(), query, band_, hint_, closest)) return;
    hint_ = closest.triangle;
    gaps_.nearest[v] = closest.triangle;
    const bool inside = side_of(other_, query, closest) == Side::inside;
    gaps_.gap_mm[v] = inside ? -closest.distance_mm : closest.distance_mm;
  }

  const Surface &own_, &other_;
  const Pose& pose_;
  const Mat3 magnitude_;
  const double band_;
  std::uint32_t hint_ = 0;
  std::vector<bool> seen_;
  VertexGaps gaps_;
};

}  // namespace

VertexGaps vertex_gaps(const PosedPair& pair, std::size_t body, double band_mm) {
  return Measurer(pair, body, band_mm).run();
}

Vec3 nearest_on_other(const PosedPair& pair, std::size_t body, std::uint32_t nearest, const Vec3& point) {
  const Corners c = pair.corners(1 - body, nearest);
  return closest_on_triangle(c[0], c[1], c[2], point).point;
}

}  // namespace intercusp
