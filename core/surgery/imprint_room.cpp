#include "surgery/imprint_room.h"

#include <algorithm>
#include <map>

#include "base/parallel.h"
#include "geometry/close_pairs.h"
#include "surgery/divide_triangle.h"

namespace intercusp {
namespace {

constexpr double kAtCorner = 0.85;  ///< weight of a corner from which on a spot is the corner's
constexpr double kAtEdge = 0.12;    ///< weight of the corner opposite to an edge below which a spot is the edge's
constexpr double kShortest = 0.03;  ///< triangles with all edges shorter are divided no more, mm

/// Weights of the corners at a point of a triangle.
Vec3 weights_at(const Mesh& mesh, std::uint32_t triangle, const Vec3& p) {
  const Vec3 a = mesh.corner(triangle, 0), b = mesh.corner(triangle, 1), c = mesh.corner(triangle, 2);
  const Vec3 normal = (b - a).cross(c - a);
  const double area = normal.squaredNorm();
  if (area == 0) return Vec3(1, 0, 0);
  Vec3 weights((c - b).cross(p - b).dot(normal), (a - c).cross(p - c).dot(normal), 0);
  weights /= area;
  weights.z() = 1 - weights.x() - weights.y();
  return weights;
}

double longest_edge(const Mesh& mesh, std::uint32_t triangle) {
  double most = 0;
  for (int k = 0; k < 3; ++k)
    most = std::max(most, (mesh.corner(triangle, k) - mesh.corner(triangle, (k + 1) % 3)).norm());
  return most;
}

/// Vertices to be put in, by edge (lower vertex first) and by triangle.
struct Additions {
  std::map<std::pair<std::uint32_t, std::uint32_t>, std::uint32_t> on_edge;
  std::map<std::uint32_t, std::uint32_t> in_triangle;
};

/// The vertex for one spot: a corner that is moved, or a new one.
class RoomMaker {
 public:
  RoomMaker(SplintSolid& solid, std::vector<char>& fresh) : solid_(solid), fresh_(fresh) {}

  void place(const TightSpot& spot, const Vec3& by) {
    const Mesh& mesh = solid_.mesh;
    const Triangle t = mesh.triangles[spot.triangle];
    const Vec3 weights = weights_at(mesh, spot.triangle, spot.gap.on_first);
    int largest = 0, least = 0;
    const double most = weights.maxCoeff(&largest), smallest = weights.minCoeff(&least);
    if (most > kAtCorner || longest_edge(mesh, spot.triangle) < kShortest) {
      // Triangles around a corner all have a spot there: it moves once, as far as the farthest asks.
      Vec3& most_by = moved_.try_emplace(t[static_cast<std::size_t>(largest)], Vec3::Zero()).first->second;
      if (by.squaredNorm() > most_by.squaredNorm()) most_by = by;
      return;
    }
    if (smallest >= kAtEdge) {
      added_.in_triangle.emplace(spot.triangle, new_vertex(spot, by));
      return;
    }
    const auto l = static_cast<std::size_t>(least);
    const auto edge = std::minmax(t[(l + 1) % 3], t[(l + 2) % 3]);
    if (added_.on_edge.count(edge) == 0) added_.on_edge.emplace(edge, new_vertex(spot, by));
  }

  /// Also moves the corners. An edge's vertex divides both its triangles; what is divided so is not divided in its
  /// middle as well.
  void divide() {
    for (const auto& [corner, by] : moved_) {
      solid_.mesh.positions[corner] += by.cast<float>();
      fresh_[corner] = 1;
    }
    std::vector<Triangle>& triangles = solid_.mesh.triangles;
    if (added_.on_edge.empty() && added_.in_triangle.empty()) return;
    std::vector<Triangle> out;
    out.reserve(triangles.size() + 16);
    for (std::uint32_t t = 0; t < triangles.size(); ++t) {
      const Triangle k = triangles[t];
      std::array<std::uint32_t, 3> middle{0, 0, 0};
      for (std::size_t e = 0; e < 3; ++e) {
        const auto found = added_.on_edge.find(std::minmax(k[e], k[(e + 1) % 3]));
        if (found != added_.on_edge.end()) middle[e] = found->second;
      }
      const auto inside = added_.in_triangle.find(t);
      if (inside != added_.in_triangle.end() && middle == std::array<std::uint32_t, 3>{0, 0, 0}) {
        for (std::size_t e = 0; e < 3; ++e) out.push_back({k[e], k[(e + 1) % 3], inside->second});
        continue;
      }
      divide_triangle(k, middle, out);
    }
    triangles = std::move(out);
    drop_unused();
  }

 private:
  std::uint32_t new_vertex(const TightSpot& spot, const Vec3& by) {
    solid_.mesh.positions.push_back((spot.gap.on_first + by).cast<float>());
    solid_.part.push_back(spot.part);
    fresh_.push_back(1);
    return static_cast<std::uint32_t>(solid_.mesh.positions.size() - 1);
  }

  /// Vertices at the end that no triangle took.
  void drop_unused() {
    std::vector<char> used(solid_.mesh.positions.size(), 0);
    for (const Triangle& t : solid_.mesh.triangles) used[t[0]] = used[t[1]] = used[t[2]] = 1;
    std::vector<std::uint32_t> renamed(used.size());
    std::uint32_t kept = 0;
    for (std::uint32_t v = 0; v < used.size(); ++v) {
      renamed[v] = kept;
      if (!used[v]) continue;
      solid_.mesh.positions[kept] = solid_.mesh.positions[v];
      solid_.part[kept] = solid_.part[v];
      fresh_[kept++] = fresh_[v];
    }
    solid_.mesh.positions.resize(kept);
    solid_.part.resize(kept);
    fresh_.resize(kept);
    for (Triangle& t : solid_.mesh.triangles)
      for (std::uint32_t& v : t) v = renamed[v];
  }

  SplintSolid& solid_;
  std::vector<char>& fresh_;
  Additions added_;
  std::map<std::uint32_t, Vec3> moved_;  ///< by corner
};

/// Of a part of the splint, whose triangles are `own` in the whole.
std::vector<TightSpot> spots_at(const Surface& some, const std::vector<std::uint32_t>& own, const Surface& arch,
                                SplintPart part, double least_mm) {
  std::map<std::uint32_t, TriangleGap> nearest;
  const PosedPair pair = make_posed_pair(some, Pose::Identity(), arch, Pose::Identity());
  CloseBlocks close(pair);
  close.visit(least_mm, [&](const BlockPair& blocks) {
    close.triangles(blocks, least_mm, [&](std::uint32_t i, std::uint32_t j) {
      const std::uint32_t t = some.bvh().order()[i];
      const TriangleGap gap = triangle_distance(pair.corners(0, t), pair.corners(1, arch.bvh().order()[j]));
      if (gap.distance_mm >= least_mm) return;
      const auto [known, is_new] = nearest.emplace(t, gap);
      if (!is_new && gap.distance_mm < known->second.distance_mm) known->second = gap;
    });
  });
  std::vector<TightSpot> spots;
  for (const auto& [triangle, gap] : nearest) spots.push_back({own[triangle], part, gap});
  return spots;
}

}  // namespace

std::vector<TightSpot> tight_spots(const Mesh& splint, const std::vector<char>& fresh, const SplintParts& parts,
                                   double least_mm) {
  Mesh some;
  some.positions = splint.positions;
  std::vector<std::uint32_t> own;
  for (std::uint32_t t = 0; t < splint.triangles.size(); ++t) {
    const Triangle& k = splint.triangles[t];
    if (!fresh[k[0]] && !fresh[k[1]] && !fresh[k[2]]) continue;
    some.triangles.push_back(k);
    own.push_back(t);
  }
  if (own.empty()) return {};
  const SurfacePtr surface = Surface::make(std::move(some));
  std::vector<TightSpot> upper, lower;
  both([&] { upper = spots_at(*surface, own, parts.upper->arch(), SplintPart::upper_imprint, least_mm); },
       [&] { lower = spots_at(*surface, own, parts.lower->arch(), SplintPart::lower_imprint, least_mm); });
  upper.insert(upper.end(), lower.begin(), lower.end());
  return upper;
}

void move_at(SplintSolid& solid, const std::vector<TightSpot>& spots, std::vector<char>& fresh) {
  RoomMaker maker(solid, fresh);
  for (const TightSpot& spot : spots) maker.place(spot, spot.gap.on_second - spot.gap.on_first);
  maker.divide();
}

void make_room_at(SplintSolid& solid, const std::vector<TightSpot>& spots, double clearance_mm,
                  std::vector<char>& fresh) {
  RoomMaker maker(solid, fresh);
  for (const TightSpot& spot : spots) {
    if (spot.gap.distance_mm < 1e-6) continue;
    const Vec3 away = (spot.gap.on_first - spot.gap.on_second) / spot.gap.distance_mm;
    maker.place(spot, (clearance_mm - spot.gap.distance_mm) * away);
  }
  maker.divide();
}

}  // namespace intercusp
