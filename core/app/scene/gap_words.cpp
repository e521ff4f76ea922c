#include "app/scene/gap_words.h"

#include <cmath>
#include <cstdio>

namespace intercusp {

namespace {

constexpr double kTouchingMm = 0.005;  // shows as 0.00

// Weights of a triangle's corners at a point on it.
Vec3 corner_weights(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& p) {
  const Vec3 u = b - a, v = c - a, w = p - a;
  const double uu = u.dot(u), uv = u.dot(v), vv = v.dot(v), wu = w.dot(u), wv = w.dot(v);
  const double area = uu * vv - uv * uv;
  if (area < 1e-18) return Vec3::Constant(1.0 / 3);
  const double s = (vv * wu - uv * wv) / area, t = (uu * wv - uv * wu) / area;
  return {1 - s - t, s, t};
}

std::optional<double> gap_at(const Body& body, const std::vector<float>& gaps, std::uint32_t triangle, const Vec3& at) {
  const Mesh& mesh = body.surface->mesh();
  if (triangle >= mesh.triangles.size()) return std::nullopt;
  const auto& corners = mesh.triangles[triangle];
  const auto corner = [&](int k) -> Vec3 {
    return mesh.positions[corners[static_cast<std::size_t>(k)]].cast<double>();
  };
  const Vec3 weights = corner_weights(corner(0), corner(1), corner(2), at);
  double sum = 0;
  for (int k = 0; k < 3; ++k) {
    const std::uint32_t vertex = corners[static_cast<std::size_t>(k)];
    if (vertex >= gaps.size() || std::isnan(gaps[vertex])) return std::nullopt;
    sum += weights[k] * static_cast<double>(gaps[vertex]);
  }
  return sum;
}

}  // namespace

std::optional<GapHere> gap_here(const Case& c, const ContactWatch& contacts, const PointMap& points,
                                const std::string& name, std::uint32_t triangle, const Vec3& at_scan,
                                const Vec3& at_patient) {
  const Body* body = c.find_body(name);
  if (!body || !body->surface) return std::nullopt;
  std::optional<double> least;
  for (const ContactPair& pair : contacts.pairs()) {
    const bool first = pair.first == name;
    if (!first && pair.second != name) continue;
    const auto gap = gap_at(*body, first ? pair.result.gap_first : pair.result.gap_second, triangle, at_scan);
    if (gap && (!least || *gap < *least)) least = gap;
  }
  if (!least) return std::nullopt;
  return GapHere{*least, tooth_at(points, at_patient, Jaw::upper), tooth_at(points, at_patient, Jaw::lower)};
}

std::string gap_words(const GapHere& gap) {
  char amount[48];
  std::snprintf(amount, sizeof amount, "%.2f mm", std::abs(gap.gap_mm));
  const bool touching = std::abs(gap.gap_mm)<kTouchingMm, apart = gap.gap_mm> 0;
  std::string words = touching ? "touching" : std::string(amount) + (apart ? " gap" : " overlap");
  if (gap.upper && gap.lower)
    words += ", " + std::to_string(gap.upper) + (apart && !touching ? " to " : " on ") + std::to_string(gap.lower);
  return words;
}

}  // namespace intercusp
