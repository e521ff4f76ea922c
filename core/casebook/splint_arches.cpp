#include "casebook/splint_arches.h"

namespace intercusp {
namespace {

bool is_arch_of(const Body& body, bool upper) {
  return body.name.find("arch") != std::string::npos && (upper ? is_upper_name(body.name) : is_lower_name(body.name));
}

/// A zone of the arch itself, or of the arch that this one is a piece of.
bool carries(const Body& body, const Zone& zone) {
  return body.name == zone.body || body.name.rfind(zone.body + "_", 0) == 0;
}

/// Vertices keep their numbers.
Mesh painted_part(const Case& c, const Body& body) {
  std::vector<std::uint8_t> painted;
  for (const Zone& zone : c.zones) {
    if (carries(body, zone)) paint(*body.surface, zone, 0, painted);
  }
  Mesh part;
  if (painted.empty()) return part;
  const Mesh& mesh = body.surface->mesh();
  for (const Triangle& t : mesh.triangles) {
    if (painted[t[0]] || painted[t[1]] || painted[t[2]]) part.triangles.push_back(t);
  }
  if (!part.triangles.empty()) part.positions = mesh.positions;
  return part;
}

}  // namespace

Mesh arches_together(const Case& c, const SegmentPoses& poses, bool upper) {
  Mesh all;
  for (const Body& body : c.bodies) {
    if (is_arch_of(body, upper)) append(all, transformed(body.surface->mesh(), pose_of_body(c, body, poses)));
  }
  return all;
}

Mesh painted_together(const Case& c, const SegmentPoses& poses, bool upper) {
  Mesh all;
  for (const Body& body : c.bodies) {
    if (is_arch_of(body, upper)) append(all, transformed(painted_part(c, body), pose_of_body(c, body, poses)));
  }
  return all;
}

}  // namespace intercusp
