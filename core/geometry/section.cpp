#include "geometry/section.h"

#include <algorithm>
#include <map>

namespace intercusp {
namespace {

using Edge = std::pair<std::uint32_t, std::uint32_t>;  // lower vertex first

/// One triangle's piece of the section, from the edge where the material's outline enters to where it leaves.
struct Cut {
  Edge from, to;
  std::uint32_t triangle = 0;
};

class Cutter {
 public:
  Cutter(const Surface& surface, const Vec3& point, const Vec3& normal)
      : surface_(surface), point_(point), normal_(normal) {}

  std::vector<Polyline> run() {
    collect();
    std::map<Edge, std::uint32_t> from;
    std::map<Edge, bool> reached;
    for (std::uint32_t i = 0; i < pieces_.size(); ++i) {
      from.emplace(pieces_[i].from, i);
      reached[pieces_[i].to] = true;
    }
    std::vector<bool> used(pieces_.size(), false);
    std::vector<Polyline> lines;
    for (const bool open_ones : {true, false}) {  // lines with a beginning first, else they would be cut in two
      for (std::uint32_t i = 0; i < pieces_.size(); ++i) {
        if (!used[i] && (!open_ones || reached.count(pieces_[i].from) == 0)) lines.push_back(follow(i, from, used));
      }
    }
    return lines;
  }

 private:
  double height(std::uint32_t v) const { return normal_.dot(surface_.mesh().positions[v].cast<double>() - point_); }

  bool cuts(const Eigen::AlignedBox3f& box) const {
    const Vec3 low = box.min().cast<double>(), high = box.max().cast<double>();
    const double reach = normal_.cwiseAbs().dot(0.5 * (high - low)) + 1e-9;
    return std::abs(normal_.dot(0.5 * (low + high) - point_)) <= reach;
  }

  void collect() {
    const Bvh& bvh = surface_.bvh();
    bvh.walk([this](const Bvh::Box3f& box) { return cuts(box); }, [&](std::uint32_t slot) { cut(bvh.order()[slot]); });
    std::sort(pieces_.begin(), pieces_.end(), [](const Cut& a, const Cut& b) { return a.triangle < b.triangle; });
  }

  /// Run counter-clockwise, an outline that goes down through the plane leaves the upper part there. Along the plane
  /// the piece runs from the edge going down to the edge going up, which keeps the material on the left seen from
  /// above.
  void cut(std::uint32_t triangle) {
    const Triangle& t = surface_.mesh().triangles[triangle];
    Cut piece;
    piece.triangle = triangle;
    int crossed = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t a = t[k], b = t[(k + 1) % 3];
      const bool above_a = height(a) >= 0, above_b = height(b) >= 0;
      if (above_a == above_b) continue;
      ++crossed;
      (above_a ? piece.from : piece.to) = {std::min(a, b), std::max(a, b)};
    }
    if (crossed == 2) pieces_.push_back(piece);
  }

  Vec3 place(const Edge& edge) const {
    const double a = height(edge.first), b = height(edge.second);
    const Vec3 p = surface_.mesh().positions[edge.first].cast<double>();
    return p + (a / (a - b)) * (surface_.mesh().positions[edge.second].cast<double>() - p);
  }

  Polyline follow(std::uint32_t start, const std::map<Edge, std::uint32_t>& from, std::vector<bool>& used) const {
    Polyline line;
    line.points.push_back(place(pieces_[start].from));
    for (std::uint32_t i = start;;) {
      used[i] = true;
      const Edge& end = pieces_[i].to;
      if (end == pieces_[start].from) {
        line.closed = true;
        return line;
      }
      line.points.push_back(place(end));
      const auto next = from.find(end);
      if (next == from.end() || used[next->second]) return line;
      i = next->second;
    }
  }

  const Surface& surface_;
  const Vec3 point_, normal_;
  std::vector<Cut> pieces_;
};

}  // namespace

std::vector<Polyline> section(const Surface& surface, const Pose& pose, const Vec3& point, const Vec3& normal) {
  if (!(normal.squaredNorm() > 0)) return {};
  const Pose own_from_common = pose.inverse();
  const Vec3 own_normal = own_from_common.linear() * normal.normalized();
  std::vector<Polyline> lines = Cutter(surface, own_from_common * point, own_normal).run();
  for (Polyline& line : lines) {
    for (Vec3& p : line.points) p = pose * p;
  }
  return lines;
}

}  // namespace intercusp
