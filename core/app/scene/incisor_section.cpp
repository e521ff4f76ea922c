#include "app/scene/readings.h"
#include "geometry/section.h"

namespace intercusp {

namespace {

constexpr double kShownMm = 16;  // of the section around the edges

std::optional<Vec3> point_at(const PointMap& points, const std::string& name) {
  const auto found = points.find(name);
  return found == points.end() ? std::nullopt : std::optional<Vec3>(found->second);
}

struct Flat {
  Vec3 origin, forward, up;
  Eigen::Vector2d operator()(const Vec3& p) const { return {(p - origin).dot(forward), (p - origin).dot(up)}; }
};

// The surface cut through `through`, as flat lines near that point.
std::vector<FlatLine> cut(const PosedSurface& body, const Vec3& through, const OcclusalFrame& frame, const Flat& flat) {
  std::vector<FlatLine> out;
  if (!body.surface) return out;
  const Eigen::Vector2d middle = flat(through);
  for (Polyline& line : section(*body.surface, body.patient_from_surface, through, frame.left)) {
    if (line.closed) line.points.push_back(Vec3(line.points.front()));
    FlatLine run;
    for (const Vec3& p : line.points) {
      const Eigen::Vector2d q = flat(p);
      if ((q - middle).lpNorm<Eigen::Infinity>() < kShownMm) {
        run.push_back(q);
      } else if (run.size() > 1) {
        out.push_back(std::move(run));
        run.clear();
      } else {
        run.clear();
      }
    }
    if (run.size() > 1) out.push_back(std::move(run));
  }
  return out;
}

// The pair that the overjet was read on: the headline is the larger of the pairs.
std::string measured_pair(const Reading& reading) {
  for (const char* id : {"overjet", "overbite"}) {
    const MeasureRow* row = reading.row(id);
    if (!row || !row->value) continue;
    for (const PairReading& p : row->value->pairs)
      if (p.value == row->value->value) return p.between;
    if (!row->value->pairs.empty()) return row->value->pairs.front().between;
  }
  return {};
}

}  // namespace

IncisorSection incisor_section(const Reading& reading, const OcclusalFrame& frame) {
  IncisorSection s;
  s.pair = measured_pair(reading);
  if (s.pair.size() != 5) return s;
  const std::string upper = s.pair.substr(0, 2), lower = s.pair.substr(3, 2);
  const Flat flat{frame.origin, frame.forward, frame.up};
  const auto place = [&](const std::string& name) -> std::optional<Eigen::Vector2d> {
    const auto p = point_at(reading.points, name);
    return p ? std::optional<Eigen::Vector2d>(flat(*p)) : std::nullopt;
  };
  s.upper_edge = place(upper + ".incisal_edge_mid");
  s.lower_edge = place(lower + ".incisal_edge_mid");
  s.upper_labial = place(upper + ".incisal_edge_labial");
  s.lower_labial = place(lower + ".incisal_edge_labial");
  if (const auto p = point_at(reading.points, upper + ".incisal_edge_mid"))
    s.upper = cut(reading.input.upper, *p, frame, flat);
  if (const auto p = point_at(reading.points, lower + ".incisal_edge_mid"))
    s.lower = cut(reading.input.lower, *p, frame, flat);
  return s;
}

}  // namespace intercusp
