#include "geometry/sweep.h"

#include <cmath>
#include <limits>
#include <string>

#include "geometry/close_pairs.h"

namespace intercusp {
namespace {

constexpr double kContact = 1e-3;      ///< a gap up to this is contact, mm
constexpr double kLeft = 0.4e-3;       ///< gap that a step leaves open
constexpr double kLongestStep = 1.25;  ///< times the gap over the highest speed
constexpr int kMostSteps = 100000;     ///< a step closes no less than kContact - kLeft of some gap

/// The motion in radians or mm, seen from one of its moments on.
class Advance {
 public:
  explicit Advance(const Sweep& sweep)
      : turns_(sweep.kind == Sweep::Kind::turn), along_(sweep.direction), through_(sweep.through) {}

  /// How far the motion may go on before two triangles with this gap may have closed all of it but kLeft.
  double until_closed(const TriangleGap& gap, const Corners& moving) const {
    const Vec3 apart = (gap.on_second - gap.on_first) / gap.distance_mm;
    const double left = gap.distance_mm - kLeft;
    // The planes across the gap part the triangles: it closes no faster than a corner moves across it.
    if (!turns_) {
      const double speed = -along_.dot(apart);
      return speed > 0 ? left / speed : std::numeric_limits<double>::infinity();
    }
    double speed = -std::numeric_limits<double>::infinity(), radius = 0;
    for (const Vec3& p : moving) {
      const Vec3 velocity = along_.cross(p - through_);
      speed = std::max(speed, -velocity.dot(apart));
      radius = std::max(radius, velocity.norm());
    }
    if (radius == 0) return std::numeric_limits<double>::infinity();
    // speed s + radius s^2 / 2 = left, as a corner's path bends by no more than that.
    const double root = std::sqrt(speed * speed + 2 * radius * left);
    return speed > 0 ? 2 * left / (speed + root) : (root - speed) / radius;
  }

  /// No point of the box moves by more than this, mm, for each mm or radian.
  double fastest(const Box& box, const Pose& pose) const {
    if (!turns_) return 1;
    double radius = 0;
    for (int corner = 0; corner < 8; ++corner) {
      const Vec3 p = pose * box.corner(static_cast<Box::CornerType>(corner));
      radius = std::max(radius, along_.cross(p - through_).norm());
    }
    return radius;
  }

 private:
  const bool turns_;
  const Vec3 along_, through_;
};

/// The longest safe step up to `limit`.
double safe_step(const PosedPair& pair, const Advance& advance, double fastest, double limit) {
  double step = limit;
  const Bvh &first = pair.surface[0]->bvh(), &second = pair.surface[1]->bvh();
  double within = kContact + fastest * step;
  CloseBlocks close(pair);
  close.visit_nearest_first(within, [&](const BlockPair& blocks) {
    close.triangles(blocks, within, [&](std::uint32_t i, std::uint32_t j) {
      const Corners moving = pair.corners(1, second.order()[j]);
      const TriangleGap gap = triangle_distance(pair.corners(0, first.order()[i]), moving);
      step = std::min(step, advance.until_closed(gap, moving));
      within = kContact + fastest * step;
    });
  });
  return step;
}

}  // namespace

Pose Sweep::after(double travel) const {
  if (kind == Kind::slide) return Pose(Eigen::Translation3d(travel * direction));
  return Eigen::Translation3d(through) * Eigen::AngleAxisd(radians(travel), direction) * Eigen::Translation3d(-through);
}

Result<std::optional<FirstContact>> first_contact(const Surface& first, const Pose& first_pose, const Surface& second,
                                                  const Pose& second_pose, const Sweep& sweep) {
  const std::optional<FirstContact> none;
  if (first.bvh().empty() || second.bvh().empty()) return none;
  const Advance advance(sweep);
  const bool turns = sweep.kind == Sweep::Kind::turn;
  const double fastest = advance.fastest(second.bvh().box().cast<double>(), second_pose);
  const double limit = turns ? radians(sweep.limit) : sweep.limit;
  PosedPair pair = make_posed_pair(first, first_pose, second, second_pose);
  double at = 0;
  for (int i = 0; i < kMostSteps; ++i) {
    const TriangleGap nearest = nearest_points(pair, any_points(pair));
    if (nearest.distance_mm <= kContact) {
      return std::optional(
          FirstContact{turns ? degrees(at) : at, nearest.distance_mm, nearest.on_first, nearest.on_second});
    }
    // A longer step is hardly ever safe, and looking for one costs more than another step.
    const double worth_trying = fastest > 0 ? kLongestStep * nearest.distance_mm / fastest : limit;
    at += safe_step(pair, advance, fastest, std::min(limit - at, worth_trying));
    if (!(at < limit)) return none;
    move_posed_pair(pair, first_pose, sweep.after(turns ? degrees(at) : at) * second_pose);
  }
  return Error{"the search for the first contact came to no end", std::to_string(kMostSteps) + " steps",
               "begin nearer to the contact or change the direction a little"};
}

}  // namespace intercusp
