#include "geometry/cut_line.h"

namespace intercusp {

std::vector<CutLineStretch> cut_line(const Mesh& mesh, const CutSurface& cut) {
  std::vector<double> values(mesh.positions.size());
  for (std::size_t v = 0; v < values.size(); ++v) values[v] = cut.value(mesh.positions[v].cast<double>());
  std::vector<CutLineStretch> out;
  for (const Triangle& t : mesh.triangles) {
    Vec3 ends[3];
    int found = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t i = t[k], j = t[(k + 1) % 3];
      if ((values[i] > 0) == (values[j] > 0)) continue;
      const Vec3 a = mesh.positions[i].cast<double>(), b = mesh.positions[j].cast<double>();
      ends[found++] = a + (values[i] / (values[i] - values[j])) * (b - a);
    }
    if (found != 2) continue;
    const Vec3 a = mesh.positions[t[0]].cast<double>();
    const Vec3 normal = (mesh.positions[t[1]].cast<double>() - a).cross(mesh.positions[t[2]].cast<double>() - a);
    if (normal.squaredNorm() > 0) out.push_back({ends[0], ends[1], normal.normalized()});
  }
  return out;
}

}  // namespace intercusp
