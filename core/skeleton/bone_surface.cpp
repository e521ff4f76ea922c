#include "skeleton/bone_surface.h"

#include <algorithm>
#include <cstdio>

#include "geometry/mesh_check.h"
#include "geometry/signed_distance.h"

namespace intercusp {

namespace {

constexpr double kSmallShare = 0.01;  ///< of the main part's area: what is smaller is a loose piece

struct Part {
  double area = 0;
  Box box;
  Vec3 vertex = Vec3::Zero();
};

std::vector<Part> parts_of(const Surface& surface) {
  const Mesh& mesh = surface.mesh();
  const Topology& topology = surface.topology();
  std::vector<Part> parts(topology.shell_vertex.size());
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    if (topology.set_aside[t]) continue;
    Part& part = parts[topology.shell[mesh.triangles[t][0]]];
    const Vec3 a = mesh.corner(t, 0), b = mesh.corner(t, 1), c = mesh.corner(t, 2);
    if (part.area == 0) part.vertex = a;
    part.area += 0.5 * (b - a).cross(c - a).norm();
    for (const Vec3& corner : {a, b, c}) part.box.extend(corner);
  }
  return parts;
}

/// The main part as a surface of its own, to ask what lies inside it.
SurfacePtr only_part(const Surface& surface, std::size_t which) {
  Mesh mesh;
  mesh.positions = surface.mesh().positions;
  for (std::size_t t = 0; t < surface.mesh().triangles.size(); ++t) {
    const Triangle& triangle = surface.mesh().triangles[t];
    if (!surface.topology().set_aside[t] && surface.topology().shell[triangle[0]] == which)
      mesh.triangles.push_back(triangle);
  }
  return Surface::make(std::move(mesh));
}

double border_length(const Surface& surface) {
  double length = 0;
  for (std::size_t t = 0; t < surface.mesh().triangles.size(); ++t)
    for (std::size_t k = 0; k < 3; ++k)
      if (surface.border()[t][k])
        length +=
            (surface.mesh().corner(t, static_cast<int>((k + 1) % 3)) - surface.mesh().corner(t, static_cast<int>(k)))
                .norm();
  return length;
}

/// Also for a main part with holes, away from their rims.
bool lies_inside(const Surface& main, const Vec3& point) {
  constexpr double kFar = 60;
  SignedDistance found;
  return signed_distance(main, point, kFar, found) && found.side == Side::inside;
}

template <class... Values>
std::string words(const char* format, Values... values) {
  char text[400];
  std::snprintf(text, sizeof text, format, values...);
  return text;
}

}  // namespace

BoneParts bone_parts(const Surface& surface) {
  BoneParts result;
  const std::vector<Part> parts = parts_of(surface);
  result.parts = parts.size();
  if (parts.empty()) return result;
  const auto largest =
      std::max_element(parts.begin(), parts.end(), [](const Part& a, const Part& b) { return a.area < b.area; });
  result.main_area_mm2 = largest->area;
  const SurfacePtr main = only_part(surface, static_cast<std::size_t>(largest - parts.begin()));
  for (const Part& part : parts) {
    if (&part == &*largest) continue;
    if (largest->box.contains(part.box) && lies_inside(*main, part.vertex)) {
      ++result.inner_walls;
    } else if (part.area < kSmallShare * largest->area) {
      ++result.loose_pieces;
      result.loose_area_mm2 += part.area;
    } else {
      ++result.other_bones;
    }
  }
  const MeshCheck check = check_mesh(surface.mesh());
  result.open_edges = check.open_edges;
  result.undecided_edges = check.crowded_edges + check.turned_edges;
  result.border_mm = border_length(surface);
  return result;
}

std::vector<std::string> bone_sentences(const BoneParts& p) {
  std::vector<std::string> said;
  if (p.parts == 0) return {"The surface has no triangles: nothing can be done with it."};
  if (p.closed()) {
    said.push_back(
        "The surface is closed: distances, depths and volumes can be read, and pieces that are cut from it close.");
  } else if (p.open_edges > 0) {
    said.push_back(
        words("The surface is open along %.0f mm (%zu edges): distances and contacts can be read everywhere, "
              "depths away from the border; volumes cannot, and a piece cut across the border stays open there.",
              p.border_mm, p.open_edges));
  }
  if (p.undecided_edges > 0)
    said.push_back(words("At %zu edges it cannot be told which side is bone: depths beside them are left out.",
                         p.undecided_edges));
  if (p.inner_walls > 0)
    said.push_back(
        words("It has %zu inner wall%s: distances from outside are not affected; bone thickness reads up to the "
              "first wall, and a cut meets the inner walls as well.",
              p.inner_walls, p.inner_walls == 1 ? "" : "s"));
  if (p.loose_pieces > 0)
    said.push_back(
        words("%zu loose piece%s of %.0f mm2 in all lie%s beside the bone and take%s part in collisions: remove "
              "what is metal scatter in the program that made the surface.",
              p.loose_pieces, p.loose_pieces == 1 ? "" : "s", p.loose_area_mm2, p.loose_pieces == 1 ? "s" : "",
              p.loose_pieces == 1 ? "s" : ""));
  if (p.other_bones > 0)
    said.push_back(words("It holds %zu further bone%s of size: they move together until they are imported apart.",
                         p.other_bones, p.other_bones == 1 ? "" : "s"));
  return said;
}

}  // namespace intercusp
