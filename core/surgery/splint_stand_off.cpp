#include "surgery/splint_stand_off.h"

#include <algorithm>
#include <cmath>
#include <mutex>

#include "base/parallel.h"
#include "geometry/surface.h"

namespace intercusp {
namespace {

constexpr double kTooMuch = 0.02;       ///< mm
constexpr double kLookedFor = 0.3;      ///< beyond the clearance: what stands farther off lies on no imprint, mm
constexpr double kBlocked = 0.004;      ///< a ball nearer to the swept arch by more stands in an undercut, mm
constexpr double kBetweenArches = 0.4;  ///< less room than that beside the other arch is left open, mm
constexpr double kSideways = -0.05;     ///< walls that face the way off more than that bear nothing
constexpr double kRim = 0.3;            ///< from the edge of an imprint, which the grid breaks, mm
constexpr double kGoesOn = 0.6;         ///< as far around a point the splint must go on, mm
constexpr int kDirections = 8;

/// How far the splint stands off one arch.
class StandOffOfArch {
 public:
  StandOffOfArch(const Surface& splint, const SplintSolid& solid, const SeatField& arch, const SeatField& other,
                 SplintPart part, double clearance_mm)
      : splint_(splint), solid_(solid), arch_(arch), other_(other), part_(part), clearance_(clearance_mm) {}

  /// Beyond the clearance at the middle of one triangle of the arch; 0 where nothing can be said.
  double at(std::size_t triangle, std::uint32_t& nearby) const {
    const Mesh& mesh = arch_.arch().mesh();
    const Vec3 normal = arch_.arch().scaled_normal(triangle).stableNormalized();
    if (normal.dot(arch_.off()) >= kSideways) return 0;
    const Vec3 p = (mesh.corner(triangle, 0) + mesh.corner(triangle, 1) + mesh.corner(triangle, 2)) / 3;
    ClosestPoint nearest;
    if (!splint_.bvh().closest(splint_.mesh(), p, clearance_ + kLookedFor, nearest)) return 0;
    const double beyond = nearest.distance_mm - clearance_;
    if (beyond <= kTooMuch || !in_imprint(nearest.triangle)) return 0;
    const Vec3 ball = p + clearance_ * normal;
    if (other_.value(ball) < clearance_ + kBetweenArches) return 0;
    if (arch_.exact(ball, &nearby).distance_mm <= clearance_ - kBlocked) return 0;
    return goes_on_around(p, normal) && !at_rim(p) ? beyond : 0;
  }

 private:
  bool in_imprint(std::size_t triangle) const {
    const Triangle& t = solid_.mesh.triangles[triangle];
    return std::all_of(t.begin(), t.end(), [&](std::uint32_t v) { return solid_.part[v] == part_; });
  }
  bool meets(const Vec3& from, const Vec3& way) const {
    RayHit hit;
    return splint_.bvh().ray(splint_.mesh(), from, way.normalized(), way.norm(), hit);
  }
  bool goes_on_around(const Vec3& p, const Vec3& normal) const {
    if (!meets(p, (clearance_ + kLookedFor) * normal) || meets(p + 0.4 * normal, 0.5 * normal)) return false;
    const Vec3 one = normal.unitOrthogonal(), two = normal.cross(one);
    for (int k = 0; k < kDirections; ++k) {
      const double angle = k * 2 * kPi / kDirections;
      const Vec3 beside = p + kGoesOn * (std::cos(angle) * one + std::sin(angle) * two);
      if (!meets(beside - 0.3 * normal, 0.7 * normal)) return false;
    }
    return true;
  }
  bool at_rim(const Vec3& p) const {
    for (std::size_t v = 0; v < solid_.part.size(); ++v)
      if (solid_.part[v] != part_ && (solid_.mesh.positions[v].cast<double>() - p).squaredNorm() < kRim * kRim)
        return true;
    return false;
  }

  const Surface& splint_;
  const SplintSolid& solid_;
  const SeatField &arch_, &other_;
  SplintPart part_;
  double clearance_;
};

}  // namespace

StandOff find_stand_off(const SplintSolid& solid, const SplintParts& parts, double clearance_mm) {
  const SurfacePtr splint = Surface::make(solid.mesh);
  StandOff found;
  std::mutex together;
  for (const bool upper : {true, false}) {
    const SeatField &arch = upper ? *parts.upper : *parts.lower, &other = upper ? *parts.lower : *parts.upper;
    const StandOffOfArch asked(*splint, solid, arch, other,
                               upper ? SplintPart::upper_imprint : SplintPart::lower_imprint, clearance_mm);
    in_halves(arch.arch().mesh().triangles.size(), 500, [&](std::size_t begin, std::size_t end) {
      StandOff half;
      std::uint32_t nearby = SeatField::kAnywhere;
      for (std::size_t t = begin; t < end; ++t) {
        const double beyond = asked.at(t, nearby);
        half.most_mm = std::max(half.most_mm, beyond);
        half.points += beyond > 0;
      }
      const std::lock_guard<std::mutex> lock(together);
      found.most_mm = std::max(found.most_mm, half.most_mm);
      found.points += half.points;
    });
  }
  return found;
}

}  // namespace intercusp
