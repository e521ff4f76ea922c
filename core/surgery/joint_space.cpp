#include "surgery/joint_space.h"

#include <cmath>

#include "geometry/section.h"

namespace intercusp {
namespace {

constexpr double kReach = 15;  ///< mm around the centre of the condyle

/// A stretch of an outline in the slice: forward and up of each end.
struct Stroke {
  Eigen::Vector2d from, to;
};

Eigen::Vector2d flat(const Vec3& p) {
  return {-p.y(), p.z()};
}

std::vector<Stroke> outline(const PosedBone& bone, const Vec3& centre) {
  std::vector<Stroke> strokes;
  for (const Polyline& line : section(*bone.surface, bone.pose, centre, Vec3::UnitX())) {
    const std::size_t n = line.points.size();
    for (std::size_t i = 0; i + (line.closed ? 0 : 1) < n; ++i) {
      const Stroke stroke{flat(line.points[i]), flat(line.points[(i + 1) % n])};
      if ((stroke.from - flat(centre)).norm() < kReach) strokes.push_back(stroke);
    }
  }
  return strokes;
}

/// First stroke met on a ray.
std::optional<double> ray(const std::vector<Stroke>& strokes, const Eigen::Vector2d& from,
                          const Eigen::Vector2d& along) {
  const auto cross = [](const Eigen::Vector2d& a, const Eigen::Vector2d& b) { return a.x() * b.y() - a.y() * b.x(); };
  std::optional<double> nearest;
  for (const Stroke& s : strokes) {
    const Eigen::Vector2d edge = s.to - s.from;
    const double det = cross(along, edge);
    if (det == 0) continue;
    const double t = cross(s.from - from, edge) / det, u = cross(s.from - from, along) / det;
    if (t >= 0 && t < kReach && u >= 0 && u <= 1 && (!nearest || t < *nearest)) nearest = t;
  }
  return nearest;
}

std::vector<Stroke> outlines(const std::vector<PosedBone>& bones, const Vec3& centre) {
  std::vector<Stroke> all;
  for (const PosedBone& bone : bones) {
    const std::vector<Stroke> one = outline(bone, centre);
    all.insert(all.end(), one.begin(), one.end());
  }
  return all;
}

/// The point of the condyle's upper half at which a line from the roof grazes it, in front (way +1) or behind (-1).
Eigen::Vector2d grazed(const std::vector<Stroke>& condyle, const Eigen::Vector2d& centre, const Eigen::Vector2d& roof,
                       double way) {
  Eigen::Vector2d best = roof - Eigen::Vector2d(0, 1);
  double widest = -1;
  for (const Stroke& s : condyle) {
    const Eigen::Vector2d d = s.from - roof;
    if (s.from.y() < centre.y() - 1 || d.y() >= 0) continue;  // the neck below would hide the condyle
    const double slant = way * d.x() / -d.y();
    if (slant <= widest) continue;
    widest = slant;
    best = s.from;
  }
  return best;
}

}  // namespace

std::optional<double> gap_along(const Vec3& from, const Vec3& direction, const std::vector<PosedBone>& skull) {
  return ray(outlines(skull, from), flat(from), flat(direction).normalized());
}

JointSpaces joint_spaces(const PosedBone& condyle, const Vec3& centre, const std::vector<PosedBone>& skull) {
  JointSpaces spaces;
  const std::vector<Stroke> own = outline(condyle, centre), fossa = outlines(skull, centre);
  if (own.empty() || fossa.empty()) return spaces;
  Eigen::Vector2d top = own.front().from;
  for (const Stroke& s : own) {
    if (s.from.y() > top.y() && (s.from - flat(centre)).norm() < kReach) top = s.from;
  }
  spaces.superior = ray(fossa, top, {0, 1});
  if (!spaces.superior) return spaces;
  const Eigen::Vector2d roof = top + Eigen::Vector2d(0, *spaces.superior);
  for (const double way : {1.0, -1.0}) {
    const Eigen::Vector2d at = grazed(own, flat(centre), roof, way), line = (at - roof).normalized();
    const Eigen::Vector2d outward =
        way > 0 ? Eigen::Vector2d(-line.y(), line.x()) : Eigen::Vector2d(line.y(), -line.x());
    (way > 0 ? spaces.anterior : spaces.posterior) = ray(fossa, at, outward);
  }
  return spaces;
}

}  // namespace intercusp
