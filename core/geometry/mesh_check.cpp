#include "geometry/mesh_check.h"

#include <cmath>

#include "geometry/surface.h"
#include "geometry/topology.h"

namespace intercusp {
namespace {

/// Connected part by part: closed or not, volume against its own box centre, box.
struct Shell {
  bool closed = true;
  double six_volumes = 0;
  Box box;
};

std::vector<Shell> shells_of(const Mesh& mesh, const Topology& topology) {
  std::vector<Shell> shells(topology.shell_vertex.size());
  for (std::size_t v = 0; v < mesh.positions.size(); ++v) {
    if (topology.shell[v] != kNoTriangle) shells[topology.shell[v]].box.extend(mesh.positions[v].cast<double>());
  }
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    if (topology.set_aside[t]) continue;
    Shell& shell = shells[topology.shell[mesh.triangles[t][0]]];
    const Vec3 centre = shell.box.center();
    shell.six_volumes +=
        (mesh.corner(t, 0) - centre).dot((mesh.corner(t, 1) - centre).cross(mesh.corner(t, 2) - centre));
    for (const bool border : topology.border[t]) shell.closed = shell.closed && !border;
  }
  return shells;
}

/// A part inside another one's box may be the wall of a hollow, which faces inward rightly.
bool may_be_hollow(const std::vector<Shell>& shells, std::size_t which) {
  for (std::size_t i = 0; i < shells.size(); ++i) {
    if (i != which && shells[i].six_volumes > 0 && shells[i].box.contains(shells[which].box)) return true;
  }
  return false;
}

std::size_t count_inward(const std::vector<Shell>& shells) {
  std::size_t inward = 0;
  for (std::size_t i = 0; i < shells.size(); ++i) {
    if (shells[i].closed && shells[i].six_volumes < 0 && !may_be_hollow(shells, i)) ++inward;
  }
  return inward;
}

void count_triangles(const Mesh& mesh, const Topology& topology, MeshCheck& check) {
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    const Triangle& k = mesh.triangles[t];
    const bool twice = k[0] == k[1] || k[1] == k[2] || k[2] == k[0];
    if (topology.set_aside[t] && !twice) {
      ++check.duplicate_triangles;
    } else if (twice || without_area(mesh.corner(t, 0), mesh.corner(t, 1), mesh.corner(t, 2))) {
      ++check.degenerate_triangles;
    }
  }
}

std::string counted(std::size_t n, const char* one, const char* many) {
  std::string digits = std::to_string(n);
  for (std::size_t i = digits.size(); i > 3;) {
    i -= 3;
    digits.insert(i, ",");
  }
  return digits + " " + (n == 1 ? one : many);
}

}  // namespace

MeshCheck check_mesh(const Mesh& mesh) {
  const Topology topology = make_topology(mesh);
  MeshCheck check;
  check.vertices = mesh.positions.size();
  check.triangles = mesh.triangles.size();
  check.open_edges = topology.open_edges;
  check.crowded_edges = topology.crowded_edges;
  check.turned_edges = topology.turned_edges;
  check.components = topology.shell_vertex.size();
  for (const std::uint32_t shell : topology.shell) check.unused_vertices += shell == kNoTriangle ? 1 : 0;
  for (const Vec3f& p : mesh.positions) check.not_finite += p.allFinite() ? 0 : 1;
  count_triangles(mesh, topology, check);
  check.inward_shells = count_inward(shells_of(mesh, topology));
  const Box box = bounds(mesh);
  if (!box.isEmpty()) check.size_mm = box.sizes();
  check.area_mm2 = surface_area(mesh);
  return check;
}

std::vector<std::string> findings(const MeshCheck& check) {
  std::vector<std::string> said;
  if (check.triangles == 0) {
    said.push_back("The surface has no triangles.");
    return said;
  }
  const auto say = [&](std::size_t n, const char* one, const char* many, const char* rest) {
    if (n > 0) said.push_back(counted(n, one, many) + rest);
  };
  say(check.not_finite, "position is", "positions are", " not a finite number: export the surface again.");
  say(check.open_edges, "open edge", "open edges",
      ": the surface has a border, so an overlap that reaches it has a depth but no volume.");
  say(check.crowded_edges, "edge is", "edges are",
      " shared by more than two triangles: inside and outside are left undecided beside them.");
  say(check.turned_edges, "edge joins", "edges join",
      " triangles that face opposite ways: turn the triangles so that all face outward.");
  say(check.inward_shells, "closed part faces", "closed parts face",
      " inward: turn it inside out, or every depth will read as a gap.");
  say(check.degenerate_triangles, "triangle has", "triangles have", " no area; the rest is not affected.");
  say(check.duplicate_triangles, "triangle repeats", "triangles repeat", " another one and counts once.");
  say(check.unused_vertices, "vertex belongs", "vertices belong", " to no triangle and is ignored.");
  if (check.components > 1) {
    said.push_back("The surface consists of " + counted(check.components, "separate part.", "separate parts."));
  }
  return said;
}

}  // namespace intercusp
