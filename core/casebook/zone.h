// A place painted on a body: kept as the strokes of the brush, so that it survives another mesh of the same surface.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "base/result.h"
#include "geometry/surface.h"

namespace intercusp {

/// One touch of the brush: what lies within `radius_mm` of `at` and faces the way of `normal` is painted or wiped off.
/// In scan space, mm; `normal` is a unit vector out of the body.
struct Dab {
  Vec3 at = Vec3::Zero(), normal = Vec3::UnitZ();
  double radius_mm = 2;
  bool erase = false;
};
bool operator==(const Dab& a, const Dab& b);
constexpr double kLeastBrushMm = 0.2, kLargestBrushMm = 15;
constexpr std::size_t kMostDabs = 4000;  ///< of one zone

/// A zone of a body, in the order in which it was painted.
struct Zone {
  std::string body;
  std::vector<Dab> dabs;
};

/// Lets dabs `from` and later change `painted` (1 painted, 0 not; one a vertex, made when it is empty). The other side
/// of thin bone stays clean: its surface faces away. O(vertices) a dab.
void paint(const Surface& surface, const Zone& zone, std::size_t from, std::vector<std::uint8_t>& painted);

/// Area, mm2: of each triangle the share of its corners that is painted, so that the rim is neither lost nor won.
/// O(triangles).
double painted_area_mm2(const Surface& surface, const std::vector<std::uint8_t>& painted);

nlohmann::json zones_to_json(const std::vector<Zone>& zones);
/// The Error names the key.
Result<std::vector<Zone>> zones_from_json(const nlohmann::json& document);

}  // namespace intercusp
