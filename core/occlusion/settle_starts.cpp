#include "occlusion/settle_starts.h"

#include <cmath>
#include <cstdlib>

#include "geometry/registration.h"
#include "occlusion/reading.h"

namespace intercusp {
namespace {

constexpr int kMostQuarters = 4;
constexpr int kMostQuartersBetweenSides = 2;
constexpr double kSidewaysMm = 1.5;
constexpr double kAroundMm = 2.5;

// Points that meet in Class I; `upper` and `lower` are each the middle of their landmarks.
struct Meeting {
  int side;  // 0 right, 1 left
  Names upper, lower;
};

std::vector<Meeting> meetings() {
  std::vector<Meeting> out;
  for (const int side : {0, 1}) {
    const auto up = [side](int n, const char* f) { return tooth_point(10 * (side == 0 ? 1 : 2) + n, f); };
    const auto low = [side](int n, const char* f) { return tooth_point(10 * (side == 0 ? 4 : 3) + n, f); };
    const auto upper_gap = [&](int n) { return Names{up(n, "contact_distal"), up(n + 1, "contact_mesial")}; };
    const auto lower_gap = [&](int n) { return Names{low(n, "contact_distal"), low(n + 1, "contact_mesial")}; };
    out.push_back({side, {up(6, "mesiopalatal_cusp")}, {low(6, "central_fossa")}});
    out.push_back({side, {up(6, "central_fossa")}, {low(6, "distobuccal_cusp")}});
    out.push_back({side, {up(7, "mesiopalatal_cusp")}, {low(7, "central_fossa")}});
    out.push_back({side, {up(7, "central_fossa")}, {low(7, "distobuccal_cusp")}});
    out.push_back({side, {up(4, "palatal_cusp")}, lower_gap(4)});
    out.push_back({side, {up(5, "palatal_cusp")}, lower_gap(5)});
    out.push_back({side, upper_gap(3), {low(4, "buccal_cusp")}});
    out.push_back({side, upper_gap(4), {low(5, "buccal_cusp")}});
    out.push_back({side, upper_gap(5), {low(6, "mesiobuccal_cusp")}});
    out.push_back({side, {up(3, "cusp_tip")}, lower_gap(3)});
  }
  return out;
}

std::optional<Vec3> middle(const MeasureInput& in, const Names& names) {
  if (!absent(in, names).empty()) return std::nullopt;
  Vec3 sum = Vec3::Zero();
  for (const std::string& name : names) sum += point_of(in, name) / static_cast<double>(names.size());
  return sum;
}

// The forward direction of an upper side, along its back teeth; the frame's where they are not placed.
Vec3 mesial(const MeasureInput& in, int side) {
  const int quadrant = 10 * (side == 0 ? 1 : 2);
  const std::string back = tooth_point(quadrant + 6, "contact_distal");
  const std::string front = tooth_point(quadrant + 4, "contact_mesial");
  if (!absent(in, {back, front}).empty()) return in.frame->forward;
  const Vec3 along = point_of(in, front) - point_of(in, back);
  const Vec3 flat = along - in.frame->up * in.frame->up.dot(along);
  return flat.norm() > 1 ? Vec3(flat.normalized()) : in.frame->forward;
}

struct Pairs {
  std::vector<Vec3> upper, lower;
  std::vector<int> side;
};

Pairs placed_pairs(const MeasureInput& in) {
  Pairs out;
  for (const Meeting& m : meetings()) {
    const std::optional<Vec3> upper = middle(in, m.upper), lower = middle(in, m.lower);
    if (!upper || !lower) continue;
    out.upper.push_back(*upper);
    out.lower.push_back(*lower);
    out.side.push_back(m.side);
  }
  return out;
}

std::optional<Pose> fitted(const MeasureInput& in, const Pairs& pairs, const std::array<double, 2>& distal_mm) {
  std::vector<Vec3> to;
  for (std::size_t i = 0; i < pairs.upper.size(); ++i) {
    const int side = pairs.side[i];
    to.push_back(pairs.upper[i] - distal_mm[static_cast<std::size_t>(side)] * mesial(in, side));
  }
  const Result<LandmarkFit> fit = fit_landmarks(pairs.lower, to);
  return fit.ok() ? std::optional<Pose>(fit.value().motion) : std::nullopt;
}

Pose shifted(const Pose& motion, const Vec3& by) {
  Pose out = motion;
  out.pretranslate(by);
  return out;
}

}  // namespace

std::vector<Pose> landmark_starts(const MeasureInput& in) {
  std::vector<Pose> out;
  const Pairs pairs = placed_pairs(in);
  const double quarter = in.settings.unit_mm / 4;
  for (int right = -kMostQuarters; right <= kMostQuarters; ++right) {
    for (int left = -kMostQuarters; left <= kMostQuarters; ++left) {
      if (std::abs(right - left) > kMostQuartersBetweenSides) continue;
      const auto motion = fitted(in, pairs, {right * quarter, left * quarter});
      if (!motion) continue;
      const int most = std::abs(right - left) <= 1 ? 2 : 0;
      for (int sideways = -most; sideways <= most; ++sideways) {
        out.push_back(shifted(*motion, sideways * kSidewaysMm * in.frame->left));
      }
    }
  }
  return out;
}

std::vector<Pose> settle_starts(const MeasureInput& in) {
  std::vector<Pose> out = {Pose::Identity()};
  const std::vector<Pose> placed = landmark_starts(in);
  out.insert(out.end(), placed.begin(), placed.end());
  if (out.size() > 1) return out;
  for (int ahead = -1; ahead <= 1; ++ahead) {
    for (int sideways = -1; sideways <= 1; ++sideways) {
      const Vec3 by = kAroundMm * (ahead * in.frame->forward + sideways * in.frame->left);
      if (ahead != 0 || sideways != 0) out.push_back(shifted(Pose::Identity(), by));
    }
  }
  return out;
}

}  // namespace intercusp
