#include "anatomy/mark_on_scan.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

#include "geometry/feature_snap.h"

namespace intercusp {

namespace {

/// What a landmark is on the surface.
enum class Mark { tip, corner, crest, hollow_line, hollow, rim_groove, crease, plain };

Mark kind_of(const CrownMark& mark) {
  const std::string& f = mark.feature;
  const auto ends = [&](const std::string& with) {
    return f.size() >= with.size() && f.compare(f.size() - with.size(), with.size(), with) == 0;
  };
  if (f == "incisal_edge_mid" || f == "incisal_edge_labial") return Mark::crest;
  if (f == "incisal_edge_mesial" || f == "incisal_edge_distal") return Mark::corner;
  if (f == "cusp_tip" || ends("_cusp")) return Mark::tip;
  if (f == "central_groove") return Mark::hollow_line;
  if (f == "central_fossa") return Mark::hollow;
  if (f == "buccal_groove") return Mark::rim_groove;
  if (f == "gingival_mid") return Mark::crease;
  return Mark::plain;
}

/// How a kind of landmark is judged.
struct Judgement {
  double say;    ///< 0..1: how far it follows the scan's feature instead of the average crown
  double shape;  ///< expected error in multiples of the crown's distance from the scan: tells of unusual shape
};

Judgement judgement_of(const CrownMark& mark) {
  switch (kind_of(mark)) {
    case Mark::tip:
      return {0.6, 1.6};
    case Mark::corner:
      return {0.35, 2.8};
    case Mark::crest:
      return {0.9, 1.8};
    case Mark::hollow_line:
      return {0.7, 1.6};
    case Mark::hollow:
      return {0.5, 1.6};
    case Mark::rim_groove:
      return {0.3, 2.2};
    case Mark::crease:
      return {0.65, 3.9};
    default:
      return {0.0, mark.feature == "cingulum" ? 4.8 : 3.5};
  }
}

/// Place of the extreme of a parabola through three equally spaced values, in steps from the middle one.
double vertex_of(double before, double at, double after) {
  const double bend = before - 2 * at + after;
  return std::abs(bend) > 1e-12 ? std::clamp(0.5 * (before - after) / bend, -0.5, 0.5) : 0.0;
}

constexpr double kRimStep = 0.15;
constexpr int kRimAlong = 10, kRimAcross = 8;  ///< steps to either side

/// Height along `out` of the highest place of the scan on the line across the rim, `u` mm mesially of `at`.
std::optional<Vec3> rim_top(const Surface& scan, const Vec3& at, const Vec3& out, const Vec3& along, double u) {
  const Vec3 across = out.cross(along).normalized();
  std::optional<Vec3> best;
  for (int j = -kRimAcross; j <= kRimAcross; ++j) {
    Vec3 p;
    if (!put_down(scan, at + u * along + j * kRimStep * across, out, 2.0, p)) return std::nullopt;
    if (!best || out.dot(p - *best) > 0) best = p;
  }
  return best;
}

/// Where the rim of the chewing surface dips between two cusps: the lowest of its highest places.
std::optional<Vec3> groove_on_rim(const Surface& scan, const Vec3& at, const Vec3& out, const Vec3& along) {
  std::array<double, 2 * kRimAlong + 1> height{};
  for (int i = -kRimAlong; i <= kRimAlong; ++i) {
    const auto top = rim_top(scan, at, out, along, i * kRimStep);
    if (!top) return std::nullopt;
    height[static_cast<std::size_t>(i + kRimAlong)] = out.dot(*top - at);
  }
  const auto smooth = [&](std::size_t i) {
    return (height[i - 2] + 2 * height[i - 1] + 3 * height[i] + 2 * height[i + 1] + height[i + 2]) / 9;
  };
  std::size_t low = 3;
  for (std::size_t i = 3; i + 3 < height.size(); ++i)
    if (smooth(i) < smooth(low)) low = i;
  if (low == 3 || low + 4 == height.size()) return std::nullopt;
  const double shift = vertex_of(smooth(low - 1), smooth(low), smooth(low + 1));
  return rim_top(scan, at, out, along, kRimStep * (static_cast<double>(low) - kRimAlong + shift));
}

constexpr double kCreaseStep = 0.1;
constexpr int kCreaseSteps = 24, kCreaseWidth = 5;

/// The crease between crown and gum on the line towards the root through `at`: where the profile turns outwards most.
std::optional<Vec3> crease_below(const Surface& scan, const Vec3& at, const Vec3& out, const Vec3& up) {
  std::array<Vec3, 2 * kCreaseSteps + 1> profile;
  for (int i = -kCreaseSteps; i <= kCreaseSteps; ++i)
    if (!put_down(scan, at + i * kCreaseStep * up, out, 2.5, profile[static_cast<std::size_t>(i + kCreaseSteps)]))
      return std::nullopt;
  const auto y = [&](std::size_t i) { return out.dot(profile[i] - at); };
  const auto turn = [&](std::size_t i) { return y(i - kCreaseWidth) - 2 * y(i) + y(i + kCreaseWidth); };
  const std::size_t first = kCreaseWidth + 1, last = profile.size() - kCreaseWidth - 2;
  std::size_t best = first;
  for (std::size_t i = first; i <= last; ++i)
    if (turn(i) > turn(best)) best = i;
  if (best == first || best == last || turn(best) < 0.06) return std::nullopt;
  return profile[best];
}

std::optional<Vec3> feature_near(const Surface& scan, const CrownOnScan& place, const CrownMark& mark,
                                 const Vec3& from) {
  const Vec3 out = (place.axes * mark.outward).normalized(), along = place.axes.col(0), up = place.axes.col(2);
  const auto moved = [](const Snapped& s) { return s.moved ? std::optional<Vec3>(s.point) : std::nullopt; };
  switch (kind_of(mark)) {
    case Mark::tip:
      return moved(snap_to_tip(scan, from, up, 1.0));
    case Mark::corner:
      return moved(snap_to_tip(scan, from, out, 0.8));
    case Mark::crest:
      return moved(snap_to_ridge(scan, from, out, along, 0.8));
    case Mark::hollow_line:
      return moved(snap_to_ridge(scan, from, -up, along, 0.8));
    case Mark::hollow:
      return moved(snap_to_tip(scan, from, -up, 1.0));
    case Mark::rim_groove:
      return groove_on_rim(scan, from, out, along);
    case Mark::crease:
      return crease_below(scan, from, out, up);
    default:
      return std::nullopt;
  }
}

}  // namespace

bool put_down(const Surface& scan, const Vec3& near, const Vec3& direction, double reach_mm, Vec3& out) {
  constexpr double kFarthest = 6, kFurther = 0.4;
  for (double away = reach_mm; away < kFarthest + reach_mm; away += kFurther) {
    RayHit hit;
    const Vec3 from = near + away * direction;
    if (!scan.bvh().ray(scan.mesh(), from, -direction, away + reach_mm, hit)) return false;
    out = from - hit.t * direction;
    if (scan.scaled_normal(hit.triangle).dot(direction) > 0) return true;
  }
  return false;
}

namespace {

/// How much is in doubt because a neighbour or the gum stands close in front of the landmark, mm: it may cover it.
double doubt_of_cover(const Surface& scan, const Vec3& in_front, double free_mm) {
  constexpr double kWellCovered = 0.6;
  ClosestPoint c;
  scan.bvh().closest(scan.mesh(), in_front, std::numeric_limits<double>::infinity(), c);
  const bool inside = scan.scaled_normal(c.triangle).dot(in_front - c.point) < 0;
  return kWellCovered * std::clamp(1 - (inside ? -c.distance_mm : c.distance_mm) / free_mm, 0.0, 1.0);
}

/// The average crown's landmark put down on the scan, and by how much that is in doubt, mm.
Vec3 laid_down(const Surface& scan, const Vec3& expected, const Vec3& out, Mark kind, double& doubt) {
  constexpr double kOutside = 0.8, kHole = 0.5;
  // Corners always have a neighbour at hand; only one that reaches over them counts.
  doubt = doubt_of_cover(scan, expected + kOutside * out, kind == Mark::corner ? 0.15 : 0.4);
  Vec3 at;
  // A corner beside a neighbour is met from no side; it is the nearest place.
  if (kind != Mark::corner && put_down(scan, expected, out, kOutside, at)) {
    doubt += 0.5 * (at - expected).norm();
    return at;
  }
  ClosestPoint c;
  scan.bvh().closest(scan.mesh(), expected, std::numeric_limits<double>::infinity(), c);
  doubt += kind == Mark::corner ? c.distance_mm : kHole;
  return c.point;
}

}  // namespace

MarkOnScan find_mark(const Surface& scan, const CrownOnScan& place, const CrownMark& mark, double rms_mm) {
  constexpr double kLeast = 0.05, kDisagree = 0.4, kNotFound = 0.15;
  const Judgement judge = judgement_of(mark);
  const Vec3 out = (place.axes * mark.outward).normalized();
  double doubt = 0;
  const Vec3 laid = laid_down(scan, place.world(mark.at), out, kind_of(mark), doubt);
  const auto feature = feature_near(scan, place, mark, laid);
  MarkOnScan m;
  ClosestPoint c;
  const Vec3 between = laid + judge.say * (feature.value_or(laid) - laid);
  scan.bvh().closest(scan.mesh(), between, std::numeric_limits<double>::infinity(), c);
  m.at = c.point;
  double apart = kDisagree * (feature.value_or(laid) - laid).norm();
  if (judge.say > 0 && !feature) apart = kNotFound;
  const double shape = judge.shape * rms_mm;
  m.sigma_mm = std::sqrt(kLeast * kLeast + doubt * doubt + apart * apart + shape * shape);
  return m;
}

}  // namespace intercusp
