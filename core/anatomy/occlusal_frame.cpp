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

Vec3 mean_left_minus_right(const PointMap& points) {
  Vec3 sum = Vec3::Zero();
  int count = 0;
  for (const Pair& pair : kTransverse) {
    if (!has(points, pair)) continue;
    sum += points.at(pair[0]) - points.at(pair[1]);
    ++count;
  }
  return count > 0 ? Vec3(sum / count) : sum;
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
Vec3 forward_direction(const PointMap& points, const Vec3& up) {
  Vec3 forward = Vec3::Zero();
  if (has(points, kRaphe)) {
    forward = points.at(kRaphe[0]) - points.at(kRaphe[1]);
    forward -= up * up.dot(forward);
  } else {
    forward = mean_left_minus_right(points).cross(up);
  }
  const double length = forward.norm();
  return length > kLeastLength ? Vec3(forward / length) : Vec3::Zero();
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

std::vector<std::string> occlusal_frame_landmarks(const PointMap& points) {
  std::vector<std::string> names;
  if (!missing_for_occlusal_frame(points).empty()) return names;
  const auto add = [&names](const char* name) {
    if (std::find(names.begin(), names.end(), name) == names.end()) names.emplace_back(name);
  };
  for (const char* name : kIncisors) add(name);
  for (const char* name : *posterior_pair(points)) add(name);
  if (has(points, kRaphe)) {
    for (const char* name : kRaphe) add(name);
    return names;
  }
  for (const Pair& pair : kTransverse) {
    if (!has(points, pair)) continue;
    for (const char* name : pair) add(name);
  }
  return names;
}

Result<OcclusalFrame> maxillary_occlusal_frame(const PointMap& points) {
  const std::vector<std::string> missing = missing_for_occlusal_frame(points);
  if (!missing.empty()) return Error{"not measurable", "occlusal frame", "place " + joined(missing)};
  const Pair& posterior = *posterior_pair(points);
  OcclusalFrame frame;
  frame.origin = 0.5 * (points.at(kIncisors[0]) + points.at(kIncisors[1]));
  const Vec3 normal = (points.at(posterior[0]) - frame.origin).cross(points.at(posterior[1]) - frame.origin);
  const double across = (points.at(posterior[0]) - points.at(posterior[1])).norm();
  if (!(across > kLeastLength) || !(normal.norm() > kLeastLength * across)) {
    return Error{"not measurable", "occlusal frame",
                 std::string("check 11.incisal_edge_mid, 21.incisal_edge_mid, ") + posterior[1] + " and " +
                     posterior[0] + ": they lie on one line"};
  }
  frame.up = normal.normalized();
  frame.forward = forward_direction(points, frame.up);
  frame.left = frame.up.cross(frame.forward);
  if (frame.forward.isZero()) {
    return Error{
        "not measurable", "occlusal frame",
        "check the landmarks of the palatal raphe and of the paired cusps: they give no direction across the arch"};
  }
  if (frame.left.dot(points.at(posterior[0]) - points.at(posterior[1])) <= 0) {
    return Error{"not measurable", "occlusal frame",
                 "check raphe_anterior and raphe_posterior: they run against the right and left teeth"};
  }
  return frame;
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
