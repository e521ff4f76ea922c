#include "anatomy/occlusal_frame.h"

#include <algorithm>
#include <array>

namespace intercusp {
namespace {

using Pair = std::array<const char*, 2>;  // left, right

constexpr const char* kIncisors[] = {"11.incisal_edge_mid", "21.incisal_edge_mid"};
constexpr Pair kPosterior[] = {{"26.mesiobuccal_cusp", "16.mesiobuccal_cusp"},
                               {"27.mesiobuccal_cusp", "17.mesiobuccal_cusp"},
                               {"25.buccal_cusp", "15.buccal_cusp"}};
constexpr Pair kTransverse[] = {{"23.cusp_tip", "13.cusp_tip"},
                                {"24.buccal_cusp", "14.buccal_cusp"},
                                {"26.mesiobuccal_cusp", "16.mesiobuccal_cusp"},
                                {"27.mesiobuccal_cusp", "17.mesiobuccal_cusp"}};
constexpr Pair kRaphe = {"raphe_anterior", "raphe_posterior"};

// Points closer than this to one line, or shorter than this in projection, give no direction (mm).
constexpr double kLeastLength = 1e-3;

bool has(const PointMap& points, const char* name) {
  return points.count(name) > 0;
}
bool has(const PointMap& points, const Pair& pair) {
  return has(points, pair[0]) && has(points, pair[1]);
}

const Pair* posterior_pair(const PointMap& points) {
  for (const Pair& pair : kPosterior) {
    if (has(points, pair)) return &pair;
  }
  return nullptr;
}

void add_missing(const PointMap& points, const Pair& pair, std::vector<std::string>& out) {
  for (const char* name : pair) {
    if (!has(points, name) && std::find(out.begin(), out.end(), name) == out.end()) out.emplace_back(name);
  }
}

std::string joined(const std::vector<std::string>& names) {
  std::string text;
  for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
  return text;
}

// Forward in the plane with normal `up`; zero when nothing gives a direction.
Vec3 forward_direction(const OcclusalFrameBasis& basis, const Vec3& up) {
  Vec3 sum = Vec3::Zero();
  for (const auto& [from, to] : basis.across) {
    sum += basis.points[static_cast<std::size_t>(from)] - basis.points[static_cast<std::size_t>(to)];
  }
  const Vec3 mean = sum / static_cast<double>(basis.across.size());
  const Vec3 forward = basis.raphe ? Vec3(mean - up * up.dot(mean)) : Vec3(mean.cross(up));
  const double length = forward.norm();
  return length > kLeastLength ? Vec3(forward / length) : Vec3::Zero();
}

Error not_measurable(const std::string& remedy) {
  return {"not measurable", "occlusal frame", remedy};
}

}  // namespace

std::vector<std::string> missing_for_occlusal_frame(const PointMap& points) {
  std::vector<std::string> incisors;
  add_missing(points, {kIncisors[0], kIncisors[1]}, incisors);
  std::vector<std::string> shortest;
  bool first = true;
  for (const Pair& posterior : kPosterior) {
    std::vector<Pair> across = {{"26.mesiobuccal_cusp", "16.mesiobuccal_cusp"}, kRaphe};
    across.insert(across.end(), std::begin(kTransverse), std::end(kTransverse));
    for (const Pair& transverse : across) {
      std::vector<std::string> names = incisors;
      add_missing(points, posterior, names);
      add_missing(points, transverse, names);
      if (first || names.size() < shortest.size()) shortest = names;
      first = false;
    }
  }
  return shortest;
}

std::optional<OcclusalFrameBasis> occlusal_frame_basis(const PointMap& points) {
  if (!missing_for_occlusal_frame(points).empty()) return std::nullopt;
  OcclusalFrameBasis basis;
  const auto index = [&](const char* name) {
    const auto found = std::find(basis.names.begin(), basis.names.end(), name);
    const int at = static_cast<int>(found - basis.names.begin());
    if (found == basis.names.end()) {
      basis.names.emplace_back(name);
      basis.points.push_back(points.at(name));
    }
    return at;
  };
  const auto both = [&](const Pair& pair) {
    const int first = index(pair[0]);
    return std::array<int, 2>{first, index(pair[1])};
  };
  basis.incisors = both({kIncisors[0], kIncisors[1]});
  basis.posterior = both(*posterior_pair(points));
  basis.raphe = has(points, kRaphe);
  if (basis.raphe) {
    basis.across.push_back(both(kRaphe));
    return basis;
  }
  for (const Pair& pair : kTransverse) {
    if (has(points, pair)) basis.across.push_back(both(pair));
  }
  return basis;
}

Result<OcclusalFrame> OcclusalFrameBasis::frame() const {
  const auto point = [this](int i) { return points[static_cast<std::size_t>(i)]; };
  const Vec3 left = point(posterior[0]), right = point(posterior[1]);
  OcclusalFrame frame;
  frame.origin = 0.5 * (point(incisors[0]) + point(incisors[1]));
  const Vec3 normal = (left - frame.origin).cross(right - frame.origin);
  const double width = (left - right).norm();
  if (!(width > kLeastLength) || !(normal.norm() > kLeastLength * width)) {
    return not_measurable("check the incisal edges of 11 and 21, " + names[static_cast<std::size_t>(posterior[1])] +
                          " and " + names[static_cast<std::size_t>(posterior[0])] + ": they lie on one line");
  }
  frame.up = normal.normalized();
  frame.forward = forward_direction(*this, frame.up);
  frame.left = frame.up.cross(frame.forward);
  if (frame.forward.isZero()) {
    return not_measurable(
        "check the landmarks of the palatal raphe and of the paired cusps: they give no direction across the arch");
  }
  if (frame.left.dot(left - right) <= 0) {
    return not_measurable("check raphe_anterior and raphe_posterior: they run against the right and left teeth");
  }
  return frame;
}

Result<OcclusalFrame> maxillary_occlusal_frame(const PointMap& points) {
  const std::optional<OcclusalFrameBasis> basis = occlusal_frame_basis(points);
  if (!basis) return not_measurable("place " + joined(missing_for_occlusal_frame(points)));
  return basis->frame();
}

Pose patient_from_occlusal(const OcclusalFrame& frame) {
  Pose pose = Pose::Identity();
  pose.linear().row(0) = frame.left;
  pose.linear().row(1) = -frame.forward;
  pose.linear().row(2) = frame.up;
  pose.translation() = -(pose.linear() * frame.origin);
  return pose;
}

}  // namespace intercusp
