#include "geometry/vertex_gaps.h"

#include <cmath>
#include <limits>

#include "base/parallel.h"
#include "geometry/close_pairs.h"
#include "geometry/signed_distance.h"
#include "geometry/triangle_closest.h"

namespace intercusp {
namespace {

constexpr double kNoGap = std::numeric_limits<double>::quiet_NaN();
constexpr std::size_t kWorthSharing = 64;  ///< nodes of kSharedLevel triangles
constexpr std::uint32_t kSharedLevel = 4;  ///< nodes of up to 1024 triangles are handed to threads
/// Nodes of the other body are opened until they are this many levels above the own node.
constexpr std::uint32_t kLevelsAbove = 0;

/// Which plates of the other body may hold what is nearest to a point within `radius` of `centre`, whose own nearest
/// point is known. With x the way from the centre, the known point lies no farther than b + u.x + x^2 / 2b (b its
/// distance, u the unit vector from it), and what a plate holds no nearer than g + w.x (g the distance of the plate,
/// w the way it grows; the distance from a convex set is a convex function). So plates with g - b > radius |w - u| +
/// radius^2 / 2b do not matter: to first order it counts only how the directions differ.
class Neighbourhood {
 public:
  Neighbourhood(const Vec3& centre, double radius, const ClosestPoint& nearest, double band_mm, double slack)
      : centre_(in_all_lanes(centre)),
        away_(in_all_lanes(Vec3((centre - nearest.point) / nearest.distance_mm))),
        radius_(all_lanes(static_cast<float>(radius * 1.000001))),
        near_(all_lanes(static_cast<float>(nearest.distance_mm + slack))),
        bend_(all_lanes(static_cast<float>(0.500001 * radius * radius / nearest.distance_mm))),
        reach_(static_cast<float>(std::min(band_mm + radius, nearest.distance_mm + 2 * radius) * 1.000001 + slack)) {}

  /// A bit a plate.
  unsigned may_matter(const Plates& plates) const {
    const PlateView view = view_of(plates, centre_);
    const unsigned reached = lanes_within(view.distance, reach_);
    if (reached == 0) return 0;
    const Vec4 turn = view.away - away_;
    const Float4 room = radius_ * (root(dot(turn, turn)) + view.doubt) + bend_;
    return reached & ~lanes_within(near_ + room - view.distance, kBelowZero);  // no number: it may matter
  }

 private:
  static constexpr float kBelowZero = -1e-30f;
  Vec4 centre_, away_;
  Float4 radius_, near_, bend_;
  float reach_;
};

/// Measures the vertices below one node of the own hierarchy after the other, narrowing down what of the other body
/// matters to them.
class NodeMeasurer {
 public:
  NodeMeasurer(const PosedPair& pair, std::size_t body, double band_mm, VertexGaps& gaps)
      : own_(*pair.surface[body]),
        other_(*pair.surface[1 - body]),
        pose_(pair.other_from_own[body]),
        motion_(pose_),
        band_(band_mm),
        gaps_(gaps),
        fronts_(own_.bvh().top_level() + 2) {
    const Bvh& bvh = other_.bvh();
    hint_ = bvh.order().front();
    whole_.add(bvh.plates({bvh.top_level() + 1, 0}), 0, bvh.top());
  }

  void measure(Bvh::Place node) { measure(node, whole_); }

 private:
  void measure(Bvh::Place node, const Bvh::Front& wider) {
    const Plates plate =
        motion_.moved(spread(own_.bvh().plates({node.level + 1, node.index / 4}), static_cast<int>(node.index % 4)));
    const Vec3 centre(plate.centre.x[0], plate.centre.y[0], plate.centre.z[0]);
    const double radius = std::hypot(plate.radius[0], plate.half[0]) * 1.000001 + slack();
    ClosestPoint closest;
    if (!closest_point(wider, centre, band_ + radius, hint_, closest)) return;
    hint_ = closest.triangle;
    Bvh::Front& front = fronts_[node.level];
    narrow(wider, Neighbourhood(centre, radius, closest, band_, slack()), node.level + kLevelsAbove, front);
    if (node.level == 1) return measure_vertices(node, front);
    for (std::uint32_t k = 4 * node.index; k < 4 * node.index + 4 && k < own_.bvh().count(node.level - 1); ++k) {
      measure({node.level - 1, k}, front);
    }
  }

  double slack() const { return 2e-6 * (1 + pose_.translation().norm() + other_.box().sizes().norm()); }

  void narrow(const Bvh::Front& wider, const Neighbourhood& here, std::uint32_t level, Bvh::Front& front) {
    front.clear();
    for (std::size_t i = 0; i < wider.plates.size(); ++i) {
      for (unsigned lanes = here.may_matter(wider.plates[i]); lanes != 0;) {
        const std::size_t lane = take_lane(lanes);
        const Bvh::Place place = wider.places[4 * i + lane];
        if (place.level > level && place.level > 1) {
          open(place, here, level, front);
        } else {
          front.add(wider.plates[i], static_cast<int>(lane), place);
        }
      }
    }
  }

  void open(Bvh::Place place, const Neighbourhood& here, std::uint32_t level, Bvh::Front& front) {
    const Plates& children = other_.bvh().plates(place);
    for (unsigned lanes = here.may_matter(children); lanes != 0;) {
      const std::uint32_t lane = take_lane(lanes);
      const Bvh::Place child{place.level - 1, 4 * place.index + lane};
      if (child.level > level && child.level > 1) {
        open(child, here, level, front);
      } else {
        front.add(children, static_cast<int>(lane), child);
      }
    }
  }

  bool closest_point(const Bvh::Front& front, const Vec3& query, double limit_mm, std::uint32_t hint,
                     ClosestPoint& closest) const {
    const Mesh& mesh = other_.mesh();
    const TrianglePoint p =
        closest_on_triangle(mesh.corner(hint, 0), mesh.corner(hint, 1), mesh.corner(hint, 2), query);
    bool found = p.distance_sq <= limit_mm * limit_mm;
    if (found) closest = {std::sqrt(p.distance_sq), p.point, hint, p.feature};
    other_.bvh().closest_below(front, query, limit_mm, found, closest);
    return found;
  }

  void measure_vertices(Bvh::Place node, const Bvh::Front& front) {
    const auto& begin = own_.block_vertices_begin();
    const std::uint32_t last = std::min(4 * node.index + 4, own_.bvh().count(0));
    for (std::uint32_t i = begin[4 * node.index]; i < begin[last]; ++i) {
      const std::uint32_t v = own_.block_vertices()[i];
      const Vec3 query = pose_ * own_.mesh().positions[v].cast<double>();
      ClosestPoint closest;
      const std::uint32_t hint = gaps_.nearest[v] == kNoTriangle ? hint_ : gaps_.nearest[v];
      if (!closest_point(front, query, band_, hint, closest)) continue;
      hint_ = closest.triangle;
      nearest_found(v, query, closest);
    }
  }

  void nearest_found(std::uint32_t v, const Vec3& query, const ClosestPoint& closest) {
    gaps_.nearest[v] = closest.triangle;
    const bool inside = side_of(other_, query, closest) == Side::inside;
    gaps_.gap_mm[v] = inside ? -closest.distance_mm : closest.distance_mm;
  }

  const Surface &own_, &other_;
  const Pose& pose_;
  const Motion4 motion_;
  const double band_;
  VertexGaps& gaps_;
  std::uint32_t hint_ = 0;
  Bvh::Front whole_;
  std::vector<Bvh::Front> fronts_;  ///< per level of the own node
};

}  // namespace

void find_vertex_gaps(const PosedPair& pair, std::size_t body, double band_mm, VertexGaps& gaps) {
  const Bvh& own = pair.surface[body]->bvh();
  const std::size_t vertices = pair.surface[body]->mesh().positions.size();
  gaps.gap_mm.assign(vertices, kNoGap);
  gaps.nearest.resize(vertices, kNoTriangle);
  if (band_mm <= 0) gaps.nearest.assign(vertices, kNoTriangle);
  if (band_mm <= 0 || own.empty() || pair.surface[1 - body]->bvh().empty()) return;
  const std::uint32_t level = std::min(kSharedLevel, own.top_level());
  in_halves(own.count(level), kWorthSharing, [&](std::size_t from, std::size_t to) {
    NodeMeasurer measurer(pair, body, band_mm, gaps);
    for (std::size_t i = from; i < to; ++i) measurer.measure({level, static_cast<std::uint32_t>(i)});
  });
  for (std::size_t v = 0; v < vertices; ++v) {
    if (std::isnan(gaps.gap_mm[v])) gaps.nearest[v] = kNoTriangle;
  }
}

Vec3 nearest_on_other(const PosedPair& pair, std::size_t body, std::uint32_t nearest, const Vec3& point) {
  const Corners c = pair.corners(1 - body, nearest);
  return closest_on_triangle(c[0], c[1], c[2], point).point;
}

}  // namespace intercusp
