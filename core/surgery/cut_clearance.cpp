#include "surgery/cut_clearance.h"

#include <algorithm>
#include <cmath>

#include "anatomy/notation.h"

namespace intercusp {
namespace {

constexpr double kCanalRadius = 1.5;  ///< mm, from memory
constexpr double kCanalStep = 0.5;    ///< mm between the points of the canal that are looked at

/// Least value of the sawings' sizes at a point.
double distance_to(const std::vector<PieceCut>& placed, const Vec3& p) {
  double least = 1e9;
  for (const PieceCut& cut : placed) least = std::min(least, std::abs(cut.surface.value(p)));
  return least;
}

/// A point of the crown, to tell on which side of the cut its root belongs.
const Vec3* crown_of(const PointMap& points, const std::string& tooth) {
  for (const char* feature : {"cusp_tip", "incisal_edge_mid", "buccal_cusp", "mesiobuccal_cusp", "central_fossa"}) {
    const auto found = points.find(tooth + "." + feature);
    if (found != points.end()) return &found->second;
  }
  return nullptr;
}

/// Distance of an apex from the cut; negative where crown and apex lie on different sides.
double apex_distance(const std::vector<PieceCut>& placed, const Vec3* crown, const Vec3& apex) {
  double least = 1e9;
  for (const PieceCut& cut : placed) {
    const double at = cut.surface.value(apex);
    const bool apart = crown && (cut.surface.value(*crown) > 0) != (at > 0);
    least = std::min(least, apart ? -std::abs(at) : std::abs(at));
  }
  return least;
}

bool concerns(CutKind kind, int tooth) {
  switch (kind) {
    case CutKind::lefort1:
    case CutKind::pieces:
      return is_upper(tooth);
    case CutKind::chin:
      return !is_upper(tooth);
    case CutKind::split_right:
      return quadrant(tooth) == 4 && position(tooth) >= 5;
    case CutKind::split_left:
      break;
  }
  return quadrant(tooth) == 3 && position(tooth) >= 5;
}

struct Limit {
  double mm = 0;
  std::string source;
};

Limit limit_of(const Osteotomy& cut, const char* key) {
  Limit limit;
  for (const CutSetting& setting : cut_settings(cut.kind)) {
    if (setting.key != key) continue;
    limit.mm = cut.setting(key);
    limit.source = limit.mm == setting.usual ? setting.source : "set for this cut";
  }
  return limit;
}

void add_apices(const Osteotomy& cut, const std::vector<PieceCut>& placed, const PointMap& points,
                std::vector<CutClearance>& out) {
  const Limit limit = limit_of(cut, "apex_limit_mm");
  for (const auto& [name, p] : points) {
    if (name.size() < 4 || name[2] != '.' || name.compare(3, 4, "apex") != 0) continue;
    const std::string tooth = name.substr(0, 2);
    const int iso = std::stoi(tooth);
    if (!concerns(cut.kind, iso)) continue;
    CutClearance row{name, "apex of the " + tooth_name(iso), 0, limit.mm, limit.source, true, p};
    row.distance_mm = apex_distance(placed, crown_of(points, tooth), p) - 0.5 * cut.kerf_mm();
    const bool same = !out.empty() && out.back().landmark.compare(0, 3, tooth + ".") == 0;
    if (!same) {
      out.push_back(row);
    } else if (row.distance_mm < out.back().distance_mm) {
      out.back() = row;
    }
  }
}

void add_foramen(const Osteotomy& cut, const std::vector<PieceCut>& placed, const PointMap& points,
                 const std::string& name, const std::string& words, std::vector<CutClearance>& out) {
  const auto found = points.find(name);
  if (found == points.end()) return;
  const Limit limit = limit_of(cut, "foramen_limit_mm");
  out.push_back({name, words, distance_to(placed, found->second) - 0.5 * cut.kerf_mm(), limit.mm, limit.source, false,
                 found->second});
}

void add_canal(const Osteotomy& cut, const std::vector<PieceCut>& placed, const PointMap& points,
               const std::string& side, std::vector<CutClearance>& out) {
  std::vector<Vec3> line;
  const bool foramen = points.count("mandibular_foramen" + side) > 0;
  for (const char* name :
       {foramen ? "mandibular_foramen" : "lingula", "mandibular_canal_ramus", "mandibular_canal_angle",
        "mandibular_canal_turn", "mandibular_canal_back", "mandibular_canal_front", "mental_foramen"}) {
    const auto found = points.find(name + side);
    if (found != points.end()) line.push_back(found->second);
  }
  if (line.size() < 2) return;
  double least = 1e9;
  Vec3 nearest = line.front();
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const int steps = static_cast<int>((line[i + 1] - line[i]).norm() / kCanalStep) + 1;
    for (int k = 0; k <= steps; ++k) {
      const Vec3 p = line[i] + (line[i + 1] - line[i]) * k / steps;
      const double distance = distance_to(placed, p);
      if (distance >= least) continue;
      least = distance;
      nearest = p;
    }
  }
  const Limit limit = limit_of(cut, "canal_limit_mm");
  out.push_back({"mandibular_canal" + side, "mandibular canal", least - kCanalRadius - 0.5 * cut.kerf_mm(), limit.mm,
                 limit.source, false, nearest});
}

}  // namespace

std::vector<CutClearance> cut_clearances(const Osteotomy& cut, const std::vector<PieceCut>& placed,
                                         const PointMap& points) {
  std::vector<CutClearance> out;
  add_apices(cut, placed, points, out);
  const bool split = cut.kind == CutKind::split_right || cut.kind == CutKind::split_left;
  const char* foramen = cut.kind == CutKind::lefort1 ? "infraorbital_foramen" : "mental_foramen";
  for (const std::string side : {"_right", "_left"}) {
    if (cut.kind == CutKind::pieces || (split && (side == "_right") != (cut.kind == CutKind::split_right))) continue;
    const std::string words = side == "_right" ? ", right" : ", left";
    add_foramen(cut, placed, points, foramen + side,
                (cut.kind == CutKind::lefort1 ? "infraorbital foramen" : "mental foramen") + words, out);
    if (split) add_canal(cut, placed, points, side, out);
    if (cut.kind == CutKind::lefort1) add_foramen(cut, placed, points, "Or" + side, "floor of the orbit" + words, out);
  }
  sort_clearances(out);
  return out;
}

namespace {

/// The vertex of a root that is nearest to one sawing, and how far: negative where vertices lie on either side.
std::pair<double, Vec3> root_distance(const CutSurface& surface, const std::vector<Vec3>& root) {
  double low = 1e9, high = -1e9;
  Vec3 lowest = root.front(), highest = root.front();
  for (const Vec3& p : root) {
    const double value = surface.value(p);
    if (value < low) lowest = p;
    if (value > high) highest = p;
    low = std::min(low, value);
    high = std::max(high, value);
  }
  if (low < 0 && high > 0) return -low < high ? std::pair(low, lowest) : std::pair(-high, highest);
  return low >= 0 ? std::pair(low, lowest) : std::pair(-high, highest);
}

}  // namespace

void add_root_surface(const Osteotomy& cut, const std::vector<PieceCut>& placed, const std::vector<Vec3>& root,
                      int tooth, std::vector<CutClearance>& out) {
  if (!concerns(cut.kind, tooth) || root.empty()) return;
  std::pair<double, Vec3> nearest(1e9, root.front());
  for (const PieceCut& sawing : placed) {
    const auto here = root_distance(sawing.surface, root);
    if (here.first < nearest.first) nearest = here;
  }
  const Limit limit = limit_of(cut, "apex_limit_mm");
  out.push_back({std::to_string(tooth) + ".root", "root surface of the " + tooth_name(tooth),
                 nearest.first - 0.5 * cut.kerf_mm(), limit.mm, limit.source, true, nearest.second});
}

void sort_clearances(std::vector<CutClearance>& clearances) {
  std::stable_sort(clearances.begin(), clearances.end(),
                   [](const CutClearance& a, const CutClearance& b) { return a.distance_mm < b.distance_mm; });
}

Status no_root_met(const Osteotomy& cut, const std::vector<CutClearance>& clearances) {
  for (const CutClearance& row : clearances) {
    if (!row.root || row.distance_mm >= 0) continue;
    return Error{cut_words(cut.kind) + " meets a root: " + row.landmark, "", "move the cut away from it"};
  }
  return Done{};
}

}  // namespace intercusp
