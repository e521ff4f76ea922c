#include "casebook/gap_map.h"

#include <cmath>
#include <limits>

#include "base/colour_maps.h"

namespace intercusp {

namespace {

constexpr double kDeepest_mm = 1.0;
constexpr Colour kBeyond = {190, 190, 190, 255};

Colour colour_of(float gap, double band_mm) {
  if (std::isnan(gap)) return kBeyond;
  const double at = gap >= 0 ? 0.5 - 0.5 * gap / band_mm : 0.5 - 0.5 * gap / kDeepest_mm;
  const Rgb8 rgb = diverging_colour(at);
  return {rgb[0], rgb[1], rgb[2], 255};
}

/// Least gap of each vertex of one body over all pairs that it is in.
std::vector<float> least_gaps(const Body& body, const std::vector<ContactPair>& pairs) {
  std::vector<float> least(body.surface->mesh().positions.size(), std::numeric_limits<float>::quiet_NaN());
  for (const ContactPair& pair : pairs) {
    if (pair.first != body.name && pair.second != body.name) continue;
    const std::vector<float>& gaps = pair.first == body.name ? pair.result.gap_first : pair.result.gap_second;
    for (std::size_t v = 0; v < least.size() && v < gaps.size(); ++v) {
      if (!(least[v] <= gaps[v])) least[v] = std::isnan(gaps[v]) ? least[v] : gaps[v];
    }
  }
  return least;
}

}  // namespace

Mesh gap_map(const Case& c, const SegmentPoses& poses, const std::vector<ContactPair>& pairs,
             const ContactSettings& settings) {
  Mesh all;
  for (const Body& body : c.bodies) {
    bool asked = false;
    for (const ContactPair& pair : pairs) asked = asked || pair.first == body.name || pair.second == body.name;
    if (!asked) continue;
    Mesh mesh = transformed(body.surface->mesh(), pose_of_body(c, body, poses));
    const std::vector<float> gaps = least_gaps(body, pairs);
    mesh.colours.resize(mesh.positions.size());
    for (std::size_t v = 0; v < gaps.size(); ++v) mesh.colours[v] = colour_of(gaps[v], settings.band_mm);
    append(all, mesh);
  }
  return all;
}

}  // namespace intercusp
