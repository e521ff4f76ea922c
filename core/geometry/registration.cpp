#include "geometry/registration.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <string>

#include "base/parallel.h"

namespace intercusp {
namespace {

constexpr std::size_t kFewestPairs = 12;
/// Of a surface with so many vertices the first rounds take every 16th, until they move it by no more than kCoarse: far
/// from the end a few thousand pairs say as well where to go.
constexpr std::size_t kWorthThinning = 20000, kThinned = 16;
constexpr double kCoarse = 1e-3;  ///< mm
/// A way of moving that changes the gaps this little, against the stiffest one, is open.
constexpr double kOpenWay = 1e-7;

using Vec6 = Eigen::Matrix<double, 6, 1>;
using Mat6 = Eigen::Matrix<double, 6, 6>;

struct Partner {
  ClosestPoint nearest;
  bool found = false;
};

bool on_border(const Surface& surface, const ClosestPoint& p) {
  if (p.feature >= 6) return false;
  const auto k = static_cast<std::size_t>(p.feature);
  if (k >= 3) return surface.border()[p.triangle][k - 3];
  return surface.topology().border_vertex[surface.mesh().triangles[p.triangle][k]];
}

class Iteration {
 public:
  Iteration(const Surface& moving, const Surface& target, const Pose& start, const RegistrationSettings& settings)
      : moving_(moving), target_(target), settings_(settings), partners_(moving.block_vertices().size()) {
    result_.motion = start;
    centre_ = moving.box().center();
    if (partners_.size() >= kWorthThinning) every_ = kThinned;
    if (!target.bvh().empty()) hint_ = target.bvh().order().front();
  }

  std::optional<Error> round() {
    std::optional<Error> error = try_round();
    if (!error || every_ == 1) return error;
    every_ = 1;  // what is too little for a few may do for all
    return try_round();
  }
  /// Whether the surface has come to rest; once the first rounds have, all vertices take part.
  bool settled() {
    const bool thinned = every_ > 1;
    if (thinned && result_.last_move_mm <= kCoarse) every_ = 1;
    return !thinned && result_.last_move_mm <= settings_.settled_mm;
  }
  Registration& result() { return result_; }

 private:
  std::optional<Error> try_round() {
    find_partners();
    choose_pairs();
    if (chosen_.size() < kFewestPairs) {
      return Error{"only " + std::to_string(chosen_.size()) + " points of the surface come within reach of the other",
                   "", "start from a closer position, for instance from landmarks, or allow a longer reach"};
    }
    return step();
  }

  Vec3 vertex(std::size_t i) const { return moving_.mesh().positions[moving_.block_vertices()[i]].cast<double>(); }

  void find_partners() {
    in_halves(partners_.size(), 2000, [this](std::size_t from, std::size_t to) {
      std::uint32_t last = hint_;
      for (std::size_t i = (from + every_ - 1) / every_ * every_; i < to; i += every_) {
        Partner& p = partners_[i];
        const std::uint32_t hint = p.found ? p.nearest.triangle : last;
        p.found =
            target_.bvh().closest_from(target_.mesh(), result_.motion * vertex(i), settings_.reach_mm, hint, p.nearest);
        if (p.found) last = p.nearest.triangle;
      }
    });
  }

  void choose_pairs() {
    chosen_.clear();
    for (std::uint32_t i = 0; i < partners_.size(); i += static_cast<std::uint32_t>(every_)) {
      if (partners_[i].found && !on_border(target_, partners_[i].nearest)) chosen_.push_back(i);
    }
    const auto kept = static_cast<std::ptrdiff_t>(settings_.kept * static_cast<double>(chosen_.size()));
    if (kept >= static_cast<std::ptrdiff_t>(chosen_.size())) return;
    std::nth_element(chosen_.begin(), chosen_.begin() + kept, chosen_.end(), [this](std::uint32_t a, std::uint32_t b) {
      const double p = partners_[a].nearest.distance_mm, q = partners_[b].nearest.distance_mm;
      return p != q ? p < q : a < b;
    });
    chosen_.resize(static_cast<std::size_t>(kept));
    std::sort(chosen_.begin(), chosen_.end());
  }

  std::optional<Error> step() {
    const Vec3 centre = result_.motion * centre_;
    const double size =
        std::max(moving_.box().sizes().norm(), 1e-9);  // turns are measured by what they move at the rim
    Mat6 normal = Mat6::Zero();
    Vec6 right = Vec6::Zero();
    double square = 0;
    for (const std::uint32_t i : chosen_) {
      const ClosestPoint& q = partners_[i].nearest;
      const Vec3 p = result_.motion * vertex(i), n = target_.scaled_normal(q.triangle).stableNormalized();
      const double gap = n.dot(p - q.point);
      Vec6 row;
      row << (p - centre).cross(n) / size, n;
      normal.selfadjointView<Eigen::Lower>().rankUpdate(row);
      right -= gap * row;
      square += gap * gap;
    }
    result_.pairs = chosen_.size();
    result_.rms_mm = std::sqrt(square / static_cast<double>(chosen_.size()));
    const Eigen::SelfAdjointEigenSolver<Mat6> ways(Mat6(normal.selfadjointView<Eigen::Lower>()));
    if (!(ways.eigenvalues()[0] > kOpenWay * ways.eigenvalues()[5])) {
      return Error{"the surfaces can slide or turn on each other without changing their gap", "",
                   "register by landmarks, or use more of the surfaces"};
    }
    const Vec6 x = ways.eigenvectors() * (ways.eigenvectors().transpose() * right).cwiseQuotient(ways.eigenvalues());
    move_by(x.head<3>() / size, x.tail<3>(), centre);
    return std::nullopt;
  }

  void move_by(const Vec3& turn, const Vec3& shift, const Vec3& centre) {
    const double angle = turn.norm();
    const Pose turned(angle > 0 ? Eigen::AngleAxisd(angle, turn / angle) : Eigen::AngleAxisd(0, Vec3::UnitZ()));
    const Pose by = Eigen::Translation3d(centre + shift) * turned * Eigen::Translation3d(-centre);
    result_.last_move_mm = 0;
    for (int corner = 0; corner < 8; ++corner) {
      const Vec3 p = result_.motion * moving_.box().corner(static_cast<Box::CornerType>(corner));
      result_.last_move_mm = std::max(result_.last_move_mm, (by * p - p).norm());
    }
    result_.motion = by * result_.motion;
    result_.motion.linear() = Eigen::Quaterniond(result_.motion.linear()).normalized().toRotationMatrix();
  }

  const Surface &moving_, &target_;
  const RegistrationSettings& settings_;
  std::vector<Partner> partners_;  ///< in the order of block_vertices
  std::vector<std::uint32_t> chosen_;
  Vec3 centre_ = Vec3::Zero();
  std::uint32_t hint_ = 0;
  std::size_t every_ = 1;  ///< of the vertices takes part
  Registration result_;
};

}  // namespace

Result<LandmarkFit> fit_landmarks(const std::vector<Vec3>& from, const std::vector<Vec3>& to) {
  if (from.size() != to.size()) return Error{"the two lists of points differ in length", "", "pair every point"};
  if (from.size() < 3) return Error{"fewer than three pairs of points", "", "pick at least three, not on one line"};
  Vec3 middle_from = Vec3::Zero(), middle_to = Vec3::Zero();
  for (std::size_t i = 0; i < from.size(); ++i) {
    middle_from += from[i] / static_cast<double>(from.size());
    middle_to += to[i] / static_cast<double>(from.size());
  }
  Mat3 covariance = Mat3::Zero();
  for (std::size_t i = 0; i < from.size(); ++i) covariance += (to[i] - middle_to) * (from[i] - middle_from).transpose();
  const Eigen::JacobiSVD<Mat3> svd(covariance, Eigen::ComputeFullU | Eigen::ComputeFullV);
  if (!(svd.singularValues()[1] > 1e-9 * svd.singularValues()[0])) {
    return Error{"the points lie on one line, so the turn about it is open", "", "add a point beside the line"};
  }
  Mat3 turn = svd.matrixU() * svd.matrixV().transpose();
  if (turn.determinant() < 0) turn = svd.matrixU() * Vec3(1, 1, -1).asDiagonal() * svd.matrixV().transpose();
  LandmarkFit fit;
  fit.motion.linear() = turn;
  fit.motion.translation() = middle_to - turn * middle_from;
  double square = 0;
  for (std::size_t i = 0; i < from.size(); ++i) {
    fit.left_mm.push_back((fit.motion * from[i] - to[i]).norm());
    square += fit.left_mm.back() * fit.left_mm.back();
  }
  fit.rms_mm = std::sqrt(square / static_cast<double>(from.size()));
  return fit;
}

Result<Registration> register_surfaces(const Surface& moving, const Surface& target, const Pose& start,
                                       const RegistrationSettings& settings, const Progress& progress) {
  if (moving.bvh().empty() || target.bvh().empty()) {
    return Error{"one of the surfaces has no triangles", "", "choose two surfaces with triangles"};
  }
  Iteration iteration(moving, target, start, settings);
  Registration& result = iteration.result();
  while (result.rounds < settings.most_rounds && !result.settled) {
    if (progress.cancelled()) return Error{"the registration was stopped", "", ""};
    if (auto error = iteration.round()) return *error;
    ++result.rounds;
    result.settled = iteration.settled();
    progress.report(static_cast<double>(result.rounds) / settings.most_rounds);
  }
  return result;
}

}  // namespace intercusp
