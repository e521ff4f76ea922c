#include "occlusion/seat_fit.h"

#include <Eigen/Dense>
#include <cmath>

#include "geometry/signed_distance.h"
#include "occlusion/damped_steps.h"

namespace intercusp {
namespace {

constexpr double kOverlapWeight = 4;    // overlap against gap
constexpr double kSearchInReaches = 4;  // gaps beyond so many reaches do not count
constexpr double kMostSharedGapMm = 0.15;
constexpr double kUsualSharedGapMm = 0.025;  // the middle of what counts as contact by default
constexpr double kSharedGapHold = 2e-3;      // how much it is held there, against the samples
constexpr double kConditionWeight = 1e4;     // against the mean of the samples, per mm^2

// Signed distance and its gradient, all in the patient frame.
bool gap_at(const PosedSurface& body, const Pose& surface_from_patient, const Vec3& p, double limit_mm,
            std::uint32_t& nearest, double& mm, Vec3& gradient) {
  SignedDistance found;
  if (!signed_distance_from(*body.surface, surface_from_patient * p, limit_mm, nearest, found)) return false;
  nearest = found.nearest.triangle;
  if (found.side == Side::unknown) return false;
  mm = found.distance_mm;
  const Vec3 away = surface_from_patient * p - found.nearest.point;
  const double length = away.norm();
  const Vec3 local = length > 1e-6 ? Vec3(away * ((mm < 0 ? -1 : 1) / length))
                                   : Vec3(body.surface->scaled_normal(found.nearest.triangle).stableNormalized());
  gradient = body.patient_from_surface.linear() * local;
  return true;
}

}  // namespace

SeatFitter::SeatFitter(const SeatProblem& problem, const SeatStage& stage)
    : problem_(problem),
      stage_(stage),
      to_upper_(problem.upper.patient_from_surface.inverse()),
      to_lower_(problem.lower.patient_from_surface.inverse()),
      limit_mm_(kSearchInReaches * stage.reach_mm),
      nearest_(problem.lower_samples.size() + problem.upper_samples.size(), kNoTriangle) {
  for (const Vec3& p : problem.lower_samples) centre_ += p / static_cast<double>(problem.lower_samples.size());
}

SeatState SeatFitter::run(SeatState state) const {
  auto [end, equations_there] = damped_steps(
      state, {stage_.steps, 4, stage_.least_gain}, [this](const SeatState& s) { return equations(s); },
      [this](const SeatState& s, const SeatEquations& e, double lambda) { return stepped(s, solved(e, lambda)); });
  end.energy = equations_there.energy;
  return end;
}

std::vector<SeatFitter::Gap> SeatFitter::gaps(const SeatState& state) const {
  std::vector<Gap> out;
  out.reserve(problem_.lower_samples.size() + problem_.upper_samples.size());
  for (const Vec3& p : problem_.lower_samples) {
    const Vec3 x = state.motion * p;
    Gap gap;
    Vec3 n;
    gap.near = gap_to_upper(x, nearest_[out.size()], gap.mm, n);
    if (gap.near) gap.slope << (x - centre_).cross(n), n, -1;
    out.push_back(gap);
  }
  const Pose back = state.motion.inverse();
  for (const Vec3& q : problem_.upper_samples) {
    Gap gap;
    Vec3 n;
    gap.near = gap_at(problem_.lower, to_lower_, back * q, limit_mm_, nearest_[out.size()], gap.mm, n);
    if (gap.near) {
      n = state.motion.linear() * n;
      gap.slope << -(q - centre_).cross(n), -n, -1;
    }
    out.push_back(gap);
  }
  return out;
}

bool SeatFitter::gap_to_upper(const Vec3& x, std::uint32_t& nearest, double& mm, Vec3& n) const {
  if (!problem_.upper_grid) return gap_at(problem_.upper, to_upper_, x, limit_mm_, nearest, mm, n);
  if (!problem_.upper_grid->at(to_upper_ * x, mm, n)) return false;
  n = problem_.upper.patient_from_surface.linear() * n;
  return mm < limit_mm_;
}

// The robust cost of what is left of a gap, 0 to 1 where it is open, and the weight of its equation.
double SeatFitter::robust(double left_mm, double& weight) const {
  const double c2 = stage_.reach_mm * stage_.reach_mm, s = left_mm * left_mm / c2;
  const double heavy = left_mm < 0 ? kOverlapWeight : 1;
  if (left_mm < 0) {  // overlap never lets go: quadratic, linear beyond the reach
    weight = s <= 1 ? heavy / c2 : heavy / (c2 * std::sqrt(s));
    return s <= 1 ? heavy * s : heavy * (2 * std::sqrt(s) - 1);
  }
  weight = heavy / (c2 * (1 + s) * (1 + s));
  return heavy * s / (1 + s);
}

SeatEquations SeatFitter::equations(const SeatState& state) const {
  SeatEquations e;
  const std::vector<Gap> all = gaps(state);
  const std::size_t count = all.size() + problem_.left_out;
  const double share = count > 0 ? 1.0 / static_cast<double>(count) : 0;
  e.energy = share * static_cast<double>(problem_.left_out);
  for (const Gap& gap : all) {
    if (!gap.near) {
      e.energy += share;
      continue;
    }
    double weight = 0;
    const double left = gap.mm - state.shared_gap_mm;
    e.energy += share * robust(left, weight);
    e.matrix += share * weight * gap.slope * gap.slope.transpose();
    e.right -= share * weight * left * gap.slope;
  }
  e.cost = e.energy;
  hold_gap(state, e);
  meet_conditions(state, e);
  return e;
}

void SeatFitter::hold_gap(const SeatState& state, SeatEquations& e) const {
  const double hold = kSharedGapHold / (stage_.reach_mm * stage_.reach_mm);
  const double off = state.shared_gap_mm - kUsualSharedGapMm;
  e.cost += hold * off * off;
  e.matrix(6, 6) += hold;
  e.right(6) -= hold * off;
}

void SeatFitter::meet_conditions(const SeatState& state, SeatEquations& e) const {
  if (!problem_.conditions) return;
  for (const SeatCondition& c : problem_.conditions(state.motion)) {
    const Vec3 x = state.motion * c.lower;
    const double off = (c.upper - x).dot(c.direction) - c.target_mm;
    SeatStep slope;
    slope << -(x - centre_).cross(c.direction), -c.direction, 0;
    e.cost += kConditionWeight * off * off;
    e.matrix += kConditionWeight * slope * slope.transpose();
    e.right -= kConditionWeight * off * slope;
  }
}

SeatStep SeatFitter::solved(const SeatEquations& e, double lambda) const {
  Eigen::Matrix<double, 7, 7> damped = e.matrix;
  for (int i = 0; i < 7; ++i) damped(i, i) += lambda * e.matrix(i, i) + 1e-12;
  SeatStep step = SeatStep::Zero();
  if (stage_.share_gap) {
    step = damped.ldlt().solve(e.right);
  } else {
    step.head<6>() = damped.topLeftCorner<6, 6>().ldlt().solve(e.right.head<6>());
  }
  return step;
}

SeatState SeatFitter::stepped(const SeatState& state, const SeatStep& step) const {
  const Vec3 turn = step.head<3>();
  const double angle = turn.norm();
  Pose change = Pose::Identity();
  if (angle > 1e-15) change.linear() = Eigen::AngleAxisd(angle, turn / angle).toRotationMatrix();
  change.translation() = centre_ - change.linear() * centre_ + step.segment<3>(3);
  SeatState next = state;
  next.motion = change * state.motion;
  next.shared_gap_mm = std::min(std::max(state.shared_gap_mm + step(6), 0.0), kMostSharedGapMm);
  return next;
}

SeatState fit_seat(const SeatProblem& problem, SeatState from, const SeatStage& stage) {
  return SeatFitter(problem, stage).run(from);
}

SeatProblem near_part(const SeatProblem& problem, const SeatState& state, double within_mm) {
  SeatStage stage;
  stage.reach_mm = within_mm / kSearchInReaches;
  const std::vector<SeatFitter::Gap> gaps = SeatFitter(problem, stage).gaps(state);
  SeatProblem part = problem;
  part.lower_samples.clear();
  part.upper_samples.clear();
  const std::size_t lower = problem.lower_samples.size();
  for (std::size_t i = 0; i < gaps.size(); ++i) {
    if (!gaps[i].near) {
      ++part.left_out;
    } else if (i < lower) {
      part.lower_samples.push_back(problem.lower_samples[i]);
    } else {
      part.upper_samples.push_back(problem.upper_samples[i - lower]);
    }
  }
  return part;
}

double seated_share(const SeatProblem& problem, const SeatState& state, double within_mm) {
  std::size_t seated = 0, all = problem.left_out;
  SeatStage stage;
  stage.reach_mm = (within_mm + kMostSharedGapMm) / kSearchInReaches;
  for (const SeatFitter::Gap& gap : SeatFitter(problem, stage).gaps(state)) {
    ++all;
    if (gap.near && std::abs(gap.mm - state.shared_gap_mm) <= within_mm) ++seated;
  }
  return all == 0 ? 0 : static_cast<double>(seated) / static_cast<double>(all);
}

}  // namespace intercusp
