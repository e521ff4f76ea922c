#include "surgery/movement.h"

#include <Eigen/QR>

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace intercusp {
namespace {

// The six quantities of a movement in the order used here.
enum Quantity { kForward, kUp, kLeft, kPitch, kRoll, kYaw };
using Six = Eigen::Matrix<double, 6, 1>;

constexpr double kMetMm = 1e-6;     // a target counts as met within this
constexpr double kSettled = 1e-11;  // a step smaller than this ends the iteration
constexpr int kMostSteps = 200;

Mat3 turn(double angle_deg, const Vec3& axis) {
  return Eigen::AngleAxisd(radians(angle_deg), axis).toRotationMatrix();
}

Six six_of(const Movement& m) {
  Six x;
  x << m.forward_mm, m.up_mm, m.left_mm, m.pitch_deg, m.roll_deg, m.yaw_deg;
  return x;
}

Movement movement_of(const Six& x) {
  return {x[kForward], x[kUp], x[kLeft], x[kPitch], x[kRoll], x[kYaw]};
}

// One equation: a landmark's displacement along one clinical direction.
struct Equation {
  std::string landmark;
  Vec3 at, along;
  const char* word;
  double wanted;
};

Result<std::vector<Equation>> equations_of(const PointMap& points, const std::vector<MovementTarget>& targets) {
  std::vector<Equation> equations;
  for (const MovementTarget& target : targets) {
    const auto found = points.find(target.landmark);
    if (found == points.end()) {
      return Error{"this landmark is not placed on the segment", target.landmark, "place it, or name another one"};
    }
    const auto add = [&](const std::optional<double>& wanted, const Vec3& along, const char* word) {
      if (wanted) equations.push_back({target.landmark, found->second, along, word, *wanted});
    };
    add(target.forward_mm, -Vec3::UnitY(), "forward");
    add(target.up_mm, Vec3::UnitZ(), "up");
    add(target.left_mm, Vec3::UnitX(), "to the left");
  }
  return equations;
}

// How far each equation is from being met.
Eigen::VectorXd misses(const std::vector<Equation>& equations, const Vec3& pivot, const Six& x) {
  const Pose pose = pose_of(movement_of(x), pivot);
  Eigen::VectorXd out(static_cast<Eigen::Index>(equations.size()));
  for (std::size_t i = 0; i < equations.size(); ++i) {
    const Equation& e = equations[i];
    out[static_cast<Eigen::Index>(i)] = (pose * e.at - e.at).dot(e.along) - e.wanted;
  }
  return out;
}

Eigen::MatrixXd slopes(const std::vector<Equation>& equations, const Vec3& pivot, const Six& x,
                       const std::vector<int>& free) {
  constexpr double h = 1e-3;
  Eigen::MatrixXd out(static_cast<Eigen::Index>(equations.size()), static_cast<Eigen::Index>(free.size()));
  for (std::size_t k = 0; k < free.size(); ++k) {
    Six more = x, less = x;
    more[free[k]] += h;
    less[free[k]] -= h;
    out.col(static_cast<Eigen::Index>(k)) = (misses(equations, pivot, more) - misses(equations, pivot, less)) / (2 * h);
  }
  return out;
}

// Gauss-Newton towards the smallest free quantities that meet the linearised equations (least squares where they
// contradict each other).
void solve_free(const std::vector<Equation>& equations, const Vec3& pivot, const std::vector<int>& free, Six& x) {
  if (equations.empty() || free.empty()) return;
  for (int step = 0; step < kMostSteps; ++step) {
    const Eigen::MatrixXd slope = slopes(equations, pivot, x, free);
    Eigen::VectorXd now(static_cast<Eigen::Index>(free.size()));
    for (std::size_t k = 0; k < free.size(); ++k) now[static_cast<Eigen::Index>(k)] = x[free[k]];
    Eigen::CompleteOrthogonalDecomposition<Eigen::MatrixXd> solver;
    solver.setThreshold(1e-7);
    solver.compute(slope);
    const Eigen::VectorXd next = solver.solve(slope * now - misses(equations, pivot, x));
    for (std::size_t k = 0; k < free.size(); ++k) x[free[k]] = next[static_cast<Eigen::Index>(k)];
    if ((next - now).norm() < kSettled) return;
  }
}

Error contradiction(const std::vector<Equation>& equations, const Eigen::VectorXd& miss) {
  std::vector<std::size_t> order(equations.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  const auto size = [&miss](std::size_t i) { return std::abs(miss[static_cast<Eigen::Index>(i)]); };
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return size(a) > size(b); });
  std::string what = "the targets contradict each other:";
  for (std::size_t i = 0; i < std::min<std::size_t>(3, order.size()); ++i) {
    const Equation& e = equations[order[i]];
    if (i > 0 && size(order[i]) <= kMetMm) break;
    char amount[64];
    std::snprintf(amount, sizeof amount, "%.2f mm %s", size(order[i]), e.word);
    what += std::string(i ? ", " : " ") + e.landmark + " misses by " + amount;
  }
  return {what, "movement", "take one target away or free a quantity that is held"};
}

/// The quantities held, and those that are free solved for.
Six solved(const std::vector<Equation>& equations, const Vec3& pivot, const FixedQuantities& fixed) {
  const std::optional<double> held[6] = {fixed.forward_mm, fixed.up_mm,    fixed.left_mm,
                                         fixed.pitch_deg,  fixed.roll_deg, fixed.yaw_deg};
  Six x = six_of({});
  std::vector<int> free;
  for (int i = 0; i < 6; ++i) {
    if (held[i]) {
      x[i] = *held[i];
    } else {
      free.push_back(i);
    }
  }
  solve_free(equations, pivot, free, x);
  return x;
}

}  // namespace

Mat3 rotation_of(double pitch_deg, double roll_deg, double yaw_deg) {
  return turn(yaw_deg, Vec3::UnitZ()) * turn(-pitch_deg, Vec3::UnitX()) * turn(roll_deg, Vec3::UnitY());
}

Angles angles_of(const Mat3& r) {
  Angles angles;
  const double level = std::hypot(r(0, 1), r(1, 1));
  angles.pitch_deg = degrees(std::atan2(-r(2, 1), level));
  // Looking straight up or down, roll and yaw turn about the same axis: all of it is called yaw.
  if (level < 1e-9) {
    angles.yaw_deg = degrees(std::atan2(r(1, 0), r(0, 0)));
    return angles;
  }
  angles.roll_deg = degrees(std::atan2(-r(2, 0), r(2, 2)));
  angles.yaw_deg = degrees(std::atan2(-r(0, 1), r(1, 1)));
  return angles;
}

Pose pose_of(const Movement& m, const Vec3& pivot) {
  Pose pose = Pose::Identity();
  pose.linear() = rotation_of(m.pitch_deg, m.roll_deg, m.yaw_deg);
  pose.translation() = pivot + Vec3(m.left_mm, -m.forward_mm, m.up_mm) - pose.linear() * pivot;
  return pose;
}

Movement movement_of(const Pose& change, const Vec3& pivot) {
  const Angles turned = angles_of(change.linear());
  const Vec3 shift = change * pivot - pivot;
  return {-shift.y(), shift.z(), shift.x(), turned.pitch_deg, turned.roll_deg, turned.yaw_deg};
}

std::vector<LandmarkShift> landmark_shifts(const PointMap& before, const PointMap& after) {
  std::vector<LandmarkShift> shifts;
  for (const auto& [name, from] : before) {
    const auto to = after.find(name);
    if (to == after.end()) continue;
    const Vec3 by = to->second - from;
    shifts.push_back({name, -by.y(), by.z(), by.x()});
  }
  return shifts;
}

Result<FittedMovement> fit_movement(const PointMap& points, const Vec3& pivot,
                                    const std::vector<MovementTarget>& targets, const FixedQuantities& fixed) {
  const Result<std::vector<Equation>> equations = equations_of(points, targets);
  if (!equations) return equations.error();
  const Six x = solved(equations.value(), pivot, fixed);
  const Eigen::VectorXd miss = misses(equations.value(), pivot, x);
  FittedMovement fitted{movement_of(x), {}, 0};
  for (std::size_t i = 0; i < equations.value().size(); ++i) {
    const Equation& e = equations.value()[i];
    fitted.misses.push_back({e.landmark, e.word, e.wanted, miss[static_cast<Eigen::Index>(i)]});
  }
  if (miss.size() > 0) fitted.rms_mm = std::sqrt(miss.squaredNorm() / static_cast<double>(miss.size()));
  return fitted;
}

Result<Movement> solve_movement(const PointMap& points, const Vec3& pivot, const std::vector<MovementTarget>& targets,
                                const FixedQuantities& fixed) {
  const Result<std::vector<Equation>> equations = equations_of(points, targets);
  if (!equations) return equations.error();
  const Six x = solved(equations.value(), pivot, fixed);
  const Eigen::VectorXd miss = misses(equations.value(), pivot, x);
  if (miss.size() > 0 && !(miss.cwiseAbs().maxCoeff() <= kMetMm)) return contradiction(equations.value(), miss);
  return movement_of(x);
}

}  // namespace intercusp
