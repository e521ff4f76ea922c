#include "casebook/zone.h"

#include <nlohmann/json.hpp>

#include "base/json_read.h"

namespace intercusp {

using nlohmann::json;

namespace {

constexpr float kFacing = 0.1f;  // cosine: a surface nearly edge-on to the brush still takes paint

json numbers_of(const Dab& d) {
  return {d.at.x(), d.at.y(), d.at.z(), d.normal.x(), d.normal.y(), d.normal.z(), d.erase ? -d.radius_mm : d.radius_mm};
}

/// Seven numbers: place, normal, radius (negative: wipes off).
std::optional<Dab> dab_from(const json& item) {
  if (!item.is_array() || item.size() != 7) return std::nullopt;
  double v[7];
  for (std::size_t i = 0; i < 7; ++i) {
    if (!item[i].is_number()) return std::nullopt;
    v[i] = item[i].get<double>();
  }
  Dab d{Vec3(v[0], v[1], v[2]), Vec3(v[3], v[4], v[5]), std::abs(v[6]), v[6] < 0};
  const bool usable = d.at.allFinite() && std::abs(d.normal.norm() - 1) < 1e-3 && d.radius_mm >= kLeastBrushMm &&
                      d.radius_mm <= kLargestBrushMm;
  return usable ? std::optional<Dab>(d) : std::nullopt;
}

}  // namespace

bool operator==(const Dab& a, const Dab& b) {
  return a.at == b.at && a.normal == b.normal && a.radius_mm == b.radius_mm && a.erase == b.erase;
}

void paint(const Surface& surface, const Zone& zone, std::size_t from, std::vector<std::uint8_t>& painted) {
  const auto& positions = surface.mesh().positions;
  painted.resize(positions.size(), 0);
  for (std::size_t k = from; k < zone.dabs.size(); ++k) {
    const Dab& d = zone.dabs[k];
    const Vec3f at = d.at.cast<float>(), normal = d.normal.cast<float>();
    const auto reach = static_cast<float>(d.radius_mm * d.radius_mm);
    for (std::size_t i = 0; i < positions.size(); ++i) {
      if ((positions[i] - at).squaredNorm() > reach || surface.normals()[i].dot(normal) < kFacing) continue;
      painted[i] = d.erase ? 0 : 1;
    }
  }
}

double painted_area_mm2(const Surface& surface, const std::vector<std::uint8_t>& painted) {
  double area = 0;
  const Mesh& mesh = surface.mesh();
  if (painted.size() != mesh.positions.size()) return 0;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    const Triangle& c = mesh.triangles[t];
    const int corners = painted[c[0]] + painted[c[1]] + painted[c[2]];
    if (corners == 0) continue;
    const Vec3 a = mesh.corner(t, 0);
    area += corners / 6.0 * (mesh.corner(t, 1) - a).cross(mesh.corner(t, 2) - a).norm();
  }
  return area;
}

json zones_to_json(const std::vector<Zone>& zones) {
  json out = json::array();
  for (const Zone& zone : zones) {
    json dabs = json::array();
    for (const Dab& d : zone.dabs) dabs.push_back(numbers_of(d));
    out.push_back({{"name", zone.body}, {"dabs", std::move(dabs)}});
  }
  return out;
}

Result<std::vector<Zone>> zones_from_json(const json& document) {
  if (!document.is_array()) return Error{"the zones are not a list", "zones", ""};
  std::vector<Zone> zones;
  for (const json& item : document) {
    const std::string where = "zones[" + std::to_string(zones.size()) + "]";
    Zone zone{text_at(item, "name").value_or(""), {}};
    const json* dabs = member(item, "dabs");
    if (zone.body.empty()) return Error{"a zone names no body", where, ""};
    if (!dabs || !dabs->is_array() || dabs->size() > kMostDabs)
      return Error{"the dabs of a zone are not a list of at most " + std::to_string(kMostDabs), where, ""};
    for (const json& one : *dabs) {
      const auto dab = dab_from(one);
      if (!dab) return Error{"a dab is not a place, a unit normal and a radius of 0.2 to 15 mm", where, ""};
      zone.dabs.push_back(*dab);
    }
    zones.push_back(std::move(zone));
  }
  return zones;
}

}  // namespace intercusp
