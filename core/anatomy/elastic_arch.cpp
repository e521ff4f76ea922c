#include "anatomy/elastic_arch.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <optional>

#include "anatomy/notation.h"
#include "anatomy/scan_partner.h"
#include "base/parallel.h"
#include "geometry/registration.h"

namespace intercusp {

namespace {

constexpr int kUnknowns = 9;  ///< of a crown: turn, shift (scan axes), logarithms of the three sizes
using Row9 = Eigen::Matrix<double, kUnknowns, 1>;
using Block9 = Eigen::Matrix<double, kUnknowns, kUnknowns>;
using Place3 = Eigen::Matrix<double, 3, kUnknowns>;

// How much a scan's surface departs from the average crown, and how much people differ from the average arch.
constexpr double kPointNoise = 0.15;                       ///< mm
constexpr double kContactPlay = 0.5;                       ///< mm
constexpr double kTurnPlay = radians(7.0);                 ///< between neighbours
constexpr double kSizePlay = 0.05, kNeighbourSize = 0.06;  ///< fractions: against the arch, between neighbours

constexpr double kPartnerWithin = 0.6;  ///< mm: a point of a crown that is farther from the scan has no partner
constexpr double kPartnerCosine = 0.6;  ///< of its normal

/// How a point of a crown moves with the crown's unknowns.
Place3 moves(const CrownOnScan& c, const Vec3& p) {
  Place3 j;
  const Vec3 arm = c.world(p) - c.centre;
  j.col(0) = Vec3(0, -arm.z(), arm.y());
  j.col(1) = Vec3(arm.z(), 0, -arm.x());
  j.col(2) = Vec3(-arm.y(), arm.x(), 0);
  j.middleCols<3>(3) = Mat3::Identity();
  const Vec3 stretched = c.scale.cwiseProduct(p - c.pivot);
  for (int k = 0; k < 3; ++k) j.col(6 + k) = stretched[k] * c.axes.col(k);
  return j;
}

Vec3 rotation_vector(const Mat3& turn) {
  const Eigen::AngleAxisd a(turn);
  return a.angle() * a.axis();
}

}  // namespace

struct ElasticArch::System {
  explicit System(std::size_t crowns)
      : a(Eigen::MatrixXd::Zero(size(crowns), size(crowns))), b(Eigen::VectorXd::Zero(size(crowns))) {}
  static Eigen::Index size(std::size_t crowns) { return kUnknowns * static_cast<Eigen::Index>(crowns); }

  /// weight * |residual - jacobian * unknowns of `crown`|^2
  template <class Rows, class Values>
  void add(std::size_t crown, const Rows& jacobian, const Values& residual, double weight) {
    const Eigen::Index i = size(crown);
    a.block<kUnknowns, kUnknowns>(i, i) += weight * jacobian.transpose() * jacobian;
    b.segment<kUnknowns>(i) += weight * jacobian.transpose() * residual;
  }
  /// The same for the difference of what two crowns do.
  template <class Rows, class Values>
  void add_pair(std::size_t one, const Rows& of_one, std::size_t other, const Rows& of_other, const Values& residual,
                double weight) {
    add(one, of_one, residual, weight);
    add(other, Rows(-of_other), residual, weight);
    const Eigen::Index i = size(one), j = size(other);
    const Block9 cross = -weight * of_one.transpose() * of_other;
    a.block<kUnknowns, kUnknowns>(i, j) += cross;
    a.block<kUnknowns, kUnknowns>(j, i) += cross.transpose();
  }

  Eigen::MatrixXd a;
  Eigen::VectorXd b;
};

ElasticArch::ElasticArch(const Surface& scan, const ArchTemplate& arch, const ArchPlacement& start)
    : scan_(&scan), arch_(&arch), arch_scale_(std::cbrt(start.scale.prod())) {
  for (const TemplateCrown& crown : arch.crowns) {
    CrownOnScan c;
    c.pivot = Vec3(0, crown.placed.form.centre_y, -0.4 * crown.placed.form.crown_length);
    c.centre = start.apply(crown.placed.world(c.pivot));
    c.axes = start.turn * crown.placed.axes;
    c.scale = Vec3::Constant(arch_scale_);
    crowns_.push_back(c);
    hints_.emplace_back(crown.points.size(), 0);
  }
}

void ElasticArch::add_points(std::size_t crown, const ElasticRound& round, System& system) {
  const TemplateCrown& model = arch_->crowns[crown];
  const CrownOnScan& c = crowns_[crown];
  Block9 a = Block9::Zero();
  Row9 b = Row9::Zero();
  ScanPartner partner;
  for (std::size_t i = 0; i < std::min(round.points, model.points.size()); ++i) {
    const Vec3& p = model.points[i];
    const Vec3 x = c.world(p);
    if (!find_partner(*scan_, x, c.turned_normal(model.normals[i]), round.reach_mm, round.least_cosine,
                      hints_[crown][i], partner))
      continue;
    const double r = partner.normal.dot(partner.at - x), t = r / round.soft_mm;
    const Row9 row = moves(c, p).transpose() * partner.normal;
    const double weight = 1 / ((1 + t * t) * (1 + t * t) * kPointNoise * kPointNoise);
    a += weight * row * row.transpose();
    b += weight * r * row;
  }
  const Eigen::Index i = System::size(crown);
  system.a.block<kUnknowns, kUnknowns>(i, i) += a;
  system.b.segment<kUnknowns>(i) += b;
}

void ElasticArch::add_springs(const ElasticRound& round, System& system) const {
  const auto weight = [&](double play) { return round.stiffness / (play * play); };
  Place3 turn = Place3::Zero(), size = Place3::Zero();
  turn.leftCols<3>() = Mat3::Identity();
  size.rightCols<3>() = Mat3::Identity();
  const auto log_size = [&](std::size_t i) { return Vec3(crowns_[i].scale.array().log()); };
  for (std::size_t i = 0; i < crowns_.size(); ++i) {
    const Vec3 over = log_size(i) - Vec3::Constant(std::log(arch_scale_));
    system.add(i, size, Vec3(-over), weight(kSizePlay));
    // A crown that meets nothing must not leave the system without an answer.
    system.add(i, Place3(moves(crowns_[i], crowns_[i].pivot)), Vec3(Vec3::Zero()), 1e-3);
    if (i + 1 == crowns_.size()) continue;
    const TemplateCrown &m = arch_->crowns[i], &n = arch_->crowns[i + 1];
    const Vec3& of_m = is_right(m.iso()) ? m.contact_mesial : m.contact_distal;
    const Vec3& of_n = is_right(n.iso()) ? n.contact_distal : n.contact_mesial;
    system.add_pair(i, moves(crowns_[i], of_m), i + 1, moves(crowns_[i + 1], of_n),
                    Vec3(crowns_[i + 1].world(of_n) - crowns_[i].world(of_m)), weight(kContactPlay));
    const Mat3 turned_m = crowns_[i].axes * m.placed.axes.transpose();
    const Mat3 turned_n = crowns_[i + 1].axes * n.placed.axes.transpose();
    system.add_pair(i, turn, i + 1, turn, rotation_vector(turned_n * turned_m.transpose()), weight(kTurnPlay));
    system.add_pair(i, size, i + 1, size, Vec3(log_size(i + 1) - log_size(i)), weight(kNeighbourSize));
  }
}

void ElasticArch::move(const Eigen::VectorXd& by) {
  for (std::size_t i = 0; i < crowns_.size(); ++i) {
    const Row9 d = by.segment<kUnknowns>(System::size(i));
    const double angle = d.head<3>().norm();
    CrownOnScan& c = crowns_[i];
    if (angle > 0) c.axes = Eigen::AngleAxisd(std::min(angle, 0.3), d.head<3>() / angle).toRotationMatrix() * c.axes;
    c.centre += d.segment<3>(3) * std::min(1.0, 3 / std::max(d.segment<3>(3).norm(), 1e-9));
    for (int k = 0; k < 3; ++k) c.scale[k] *= std::exp(std::clamp(d[6 + k], -0.06, 0.06));
  }
}

void ElasticArch::step(const ElasticRound& round) {
  System system(crowns_.size());
  in_halves(crowns_.size(), 2, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) add_points(i, round, system);
  });
  add_springs(round, system);
  const Eigen::VectorXd by = system.a.ldlt().solve(system.b);
  if (by.allFinite()) move(by);
}

Lying ElasticArch::lying(std::size_t crown, std::size_t points) {
  const TemplateCrown& model = arch_->crowns[crown];
  const CrownOnScan& c = crowns_[crown];
  const std::size_t count = std::min(points, model.points.size());
  ScanPartner partner;
  std::size_t found = 0;
  double square = 0;
  for (std::size_t i = 0; i < count; ++i) {
    if (!find_partner(*scan_, c.world(model.points[i]), c.turned_normal(model.normals[i]), kPartnerWithin,
                      kPartnerCosine, hints_[crown][i], partner))
      continue;
    square += partner.away_mm * partner.away_mm;
    ++found;
  }
  return {static_cast<double>(found) / static_cast<double>(count),
          found ? std::sqrt(square / static_cast<double>(found)) : kPartnerWithin};
}

Mat3 ElasticArch::turn_of(const std::vector<bool>& kept, std::size_t crown) const {
  std::vector<Vec3> from, to;
  for (std::size_t i = 0; i < crowns_.size(); ++i) {
    if (!kept[i]) continue;
    from.push_back(arch_scale_ * arch_->crowns[i].placed.world(crowns_[i].pivot));
    to.push_back(crowns_[i].centre);
  }
  // One crown alone is often tilted against its neighbours.
  if (from.size() >= 4)
    if (const auto fit = fit_landmarks(from, to)) return fit.value().motion.linear();
  return crowns_[crown].axes * arch_->crowns[crown].placed.axes.transpose();
}

void ElasticArch::regrow(const std::vector<bool>& kept, double up_mm) {
  const auto far = [](std::size_t a, std::size_t b) { return a > b ? a - b : b - a; };
  double log_size = 0, count = 0;
  for (std::size_t i = 0; i < crowns_.size(); ++i)
    if (kept[i]) {
      log_size += std::log(crowns_[i].scale.prod()) / 3;
      ++count;
    }
  if (count > 0) arch_scale_ = std::exp(log_size / count);
  std::vector<CrownOnScan> grown = crowns_;
  for (std::size_t i = 0; i < crowns_.size(); ++i) {
    if (kept[i]) continue;
    std::optional<std::size_t> beside;
    for (std::size_t j = 0; j < crowns_.size(); ++j)
      if (kept[j] && (!beside || far(i, j) < far(i, *beside))) beside = j;
    if (!beside) continue;
    const TemplateCrown &own = arch_->crowns[i], &other = arch_->crowns[*beside];
    const Mat3 turn = turn_of(kept, *beside);
    const Vec3 step = own.placed.world(crowns_[i].pivot) - other.placed.world(crowns_[*beside].pivot);
    grown[i].axes = turn * own.placed.axes;
    grown[i].scale = Vec3::Constant(arch_scale_);
    grown[i].centre = crowns_[*beside].centre + turn * (arch_scale_ * step + up_mm * arch_->occlusal());
  }
  crowns_ = std::move(grown);
}

}  // namespace intercusp
