#include "geometry/sweep.h"

#include <cmath>
#include <limits>
#include <string>

#include "geometry/close_pairs.h"

namespace intercusp {
namespace {

constexpr double kContact = 1e-3;    ///< a gap up to this is contact, mm
constexpr double kLeft = 0.4e-3;     ///< gap that a step leaves open
constexpr double kFarther = 0.15;    ///< than the gap is looked at in one go, at most, mm
constexpr int kMostPairSteps = 200;  ///< followed with one pair; then all are looked at again
constexpr int kMostSteps = 100000;   ///< a step closes no less than kContact - kLeft of some gap

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

  /// The corners this much later.
  Corners after(double travel, const Corners& moving) const {
    Corners out = moving;
    if (!turns_) {
      for (Vec3& p : out) p += travel * along_;
      return out;
    }
    const Mat3 turn = Eigen::AngleAxisd(travel, along_).toRotationMatrix();
    for (Vec3& p : out) p = through_ + turn * (p - through_);
    return out;
  }

  /// Whether the plane of one of two triangles tells without their distance that they come into no contact up to
  /// `limit`: so of walls that slide along each other.
  bool passes_by(const Corners& resting, const Corners& moving, double limit) const {
    const Vec3 across = (resting[1] - resting[0]).cross(resting[2] - resting[0]).stableNormalized();
    double lowest = std::numeric_limits<double>::infinity(), highest = -lowest;
    for (const Vec3& p : moving) {
      const Vec3 velocity = turns_ ? along_.cross(p - through_) : along_;
      const double height = across.dot(p - resting[0]), change = limit * across.dot(velocity);
      const double bend = turns_ ? 0.5 * limit * limit * velocity.norm() : 0;
      lowest = std::min(lowest, height + std::min(0.0, change) - bend);
      highest = std::max(highest, height + std::max(0.0, change) + bend);
    }
    if (lowest > kContact || highest < -kContact) return true;
    return !turns_ && slides_by(resting, moving, limit);
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
  /// The same by the plane of the moving one, which keeps its direction.
  bool slides_by(const Corners& resting, const Corners& moving, double limit) const {
    const Vec3 across = (moving[1] - moving[0]).cross(moving[2] - moving[0]).stableNormalized();
    const double change = -limit * across.dot(along_);
    double lowest = std::numeric_limits<double>::infinity(), highest = -lowest;
    for (const Vec3& p : resting) {
      const double height = across.dot(p - moving[0]);
      lowest = std::min(lowest, height);
      highest = std::max(highest, height);
    }
    return lowest + std::min(0.0, change) > kContact || highest + std::max(0.0, change) < -kContact;
  }

  const bool turns_;
  const Vec3 along_, through_;
};

/// Advance::passes_by for one triangle that rests and four that move, in the moving body's own frame, where the axis
/// and the way of a sweep stay what they are.
class PassingLanes {
 public:
  PassingLanes(const Sweep& sweep, const Pose& moving_pose)
      : turns_(sweep.kind == Sweep::Kind::turn),
        along_(in_all_lanes(Vec3(moving_pose.linear().transpose() * sweep.direction))),
        through_(in_all_lanes(Vec3(moving_pose.inverse() * sweep.through))) {}

  /// Not 0 in lanes that may come into contact within `travel`.
  Int4 may_touch(const BlockShape& resting, const BlockShape& moving, double travel) const {
    const Float4 t = all_lanes(static_cast<float>(travel));
    const std::array<Vec4, 3> corners{moving.t.a, moving.t.b, moving.t.c};
    Span span;
    Float4 bend = all_lanes(0);
    for (const Vec4& p : corners) {
      const Vec4 velocity = turns_ ? cross(along_, p - through_) : along_;
      span.add(dot(resting.normal, p - resting.t.a), t * dot(resting.normal, velocity));
      if (turns_) bend = greater(bend, 0.5f * t * t * root(dot(velocity, velocity)));
    }
    const Int4 met = span.meets(root(resting.length_sq) * (bend + all_lanes(kLaneRoom)));
    if (turns_) return met;
    Span back;
    const Float4 change = -t * dot(moving.normal, along_);
    for (const Vec4& p : {resting.t.a, resting.t.b, resting.t.c}) back.add(dot(moving.normal, p - moving.t.a), change);
    return met & back.meets(root(moving.length_sq) * all_lanes(kLaneRoom));
  }

  /// No point of the block moves by more than this, mm, for each mm or radian.
  double fastest(const TriangleBlock& moving) const {
    if (!turns_) return 1;
    Float4 square = all_lanes(0);
    for (const Vec4& p : {moving.a, moving.b, moving.c}) {
      const Vec4 velocity = cross(along_, p - through_);
      square = greater(square, dot(velocity, velocity));
    }
    return 1.0001 * std::sqrt(static_cast<double>(greatest_lane(square))) + 1e-3;
  }

 private:
  /// Heights over a plane, times the length of its normal, while something moves.
  struct Span {
    Float4 low = all_lanes(1e30f), high = all_lanes(-1e30f);
    void add(Float4 height, Float4 change) {
      const Float4 later = height + change;
      low = lesser(low, lesser(height, later));
      high = greater(high, greater(height, later));
    }
    Int4 meets(Float4 room) const { return (low <= room) & (high >= -room); }
  };
  static constexpr float kLaneRoom = 3e-3f;  ///< contact, and more than rounding in float makes of a height, mm

  bool turns_;
  Vec4 along_, through_;
};

/// How far the motion goes until two triangles are in contact, or as far as this was followed.
struct PairAdvance {
  double travel = 0;
  bool touches = false;
  TriangleGap gap;
};

/// Follows one pair by steps that cannot close its gap, up to `limit`.
PairAdvance advance_pair(const Corners& resting, const Corners& moving, const Advance& advance, double limit) {
  PairAdvance out;
  for (int i = 0; i < kMostPairSteps; ++i) {
    const Corners there = advance.after(out.travel, moving);
    out.gap = triangle_distance(resting, there);
    out.touches = out.gap.distance_mm <= kContact;
    if (out.touches) return out;
    out.travel += advance.until_closed(out.gap, there);
    if (!(out.travel < limit)) break;
  }
  return out;
}

/// The first pair that comes into contact up to `limit`, every pair followed by itself: most are left out after one
/// look at their gap. Without contact: how far nothing touches.
PairAdvance first_of_pairs(const PosedPair& pair, const Advance& advance, const PassingLanes& passing, double fastest,
                           double limit) {
  PairAdvance out;
  out.travel = limit;
  const Bvh &first = pair.surface[0]->bvh(), &second = pair.surface[1]->bvh();
  double within = kContact + fastest * limit;
  CloseBlocks close(pair);
  close.visit_nearest_first(within, [&](const BlockPair& blocks) {
    const double speed = std::min(fastest, passing.fastest(second.block(blocks.second)));
    double reach = kContact + speed * out.travel;
    const auto may_touch = [&](const BlockShape& resting, const BlockShape& moving) {
      return passing.may_touch(resting, moving, out.travel);
    };
    close.triangles(blocks, reach, may_touch, [&](std::uint32_t i, std::uint32_t j) {
      const Corners resting = pair.corners(0, first.order()[i]), moving = pair.corners(1, second.order()[j]);
      if (advance.passes_by(resting, moving, out.travel)) return;
      const PairAdvance found = advance_pair(resting, moving, advance, out.travel);
      if (!(found.travel < out.travel)) return;
      out = found;
      within = kContact + fastest * out.travel;
      reach = kContact + speed * out.travel;
    });
  });
  return out;
}

}  // namespace

Pose Sweep::after(double travel) const {
  if (kind == Kind::slide) return Pose(Eigen::Translation3d(travel * direction));
  return Eigen::Translation3d(through) * Eigen::AngleAxisd(radians(travel), direction) * Eigen::Translation3d(-through);
}

Result<std::optional<FirstContact>> first_contact(const Surface& first, const Pose& first_pose, const Surface& second,
                                                  const Pose& second_pose, const Sweep& sweep,
                                                  const TriangleGap* nearest_now) {
  const std::optional<FirstContact> none;
  if (first.bvh().empty() || second.bvh().empty()) return none;
  const Advance advance(sweep);
  const PassingLanes passing(sweep, second_pose);
  const bool turns = sweep.kind == Sweep::Kind::turn;
  const double fastest = advance.fastest(second.bvh().box().cast<double>(), second_pose);
  const double limit = turns ? radians(sweep.limit) : sweep.limit;
  PosedPair pair = make_posed_pair(first, first_pose, second, second_pose);
  double at = 0;
  for (int i = 0; i < kMostSteps; ++i) {
    const TriangleGap nearest = i == 0 && nearest_now ? *nearest_now : nearest_points(pair, any_points(pair));
    if (nearest.distance_mm <= kContact) {
      return std::optional(
          FirstContact{turns ? degrees(at) : at, nearest.distance_mm, nearest.on_first, nearest.on_second});
    }
    const double reach = nearest.distance_mm + std::min(nearest.distance_mm, kFarther);
    const double window = fastest > 0 ? reach / fastest : limit;
    const PairAdvance found = first_of_pairs(pair, advance, passing, fastest, std::min(limit - at, window));
    at += found.travel;
    if (found.touches) {
      return std::optional(
          FirstContact{turns ? degrees(at) : at, found.gap.distance_mm, found.gap.on_first, found.gap.on_second});
    }
    if (!(at < limit)) return none;
    move_posed_pair(pair, first_pose, sweep.after(turns ? degrees(at) : at) * second_pose);
  }
  return Error{"the search for the first contact came to no end", std::to_string(kMostSteps) + " steps",
               "begin nearer to the contact or change the direction a little"};
}

}  // namespace intercusp
