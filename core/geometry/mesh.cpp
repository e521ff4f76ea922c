#include "geometry/mesh.h"

namespace intercusp {

Box bounds(const Mesh& mesh) {
  Box box;
  for (const Vec3f& p : mesh.positions) box.extend(p.cast<double>());
  return box;
}

double surface_area(const Mesh& mesh) {
  double area = 0;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    const Vec3 a = mesh.corner(t, 0);
    area += 0.5 * (mesh.corner(t, 1) - a).cross(mesh.corner(t, 2) - a).norm();
  }
  return area;
}

double signed_volume(const Mesh& mesh) {
  if (mesh.positions.empty()) return 0;
  const Vec3 centre = bounds(mesh).center();
  double six_volumes = 0;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    six_volumes += (mesh.corner(t, 0) - centre).dot((mesh.corner(t, 1) - centre).cross(mesh.corner(t, 2) - centre));
  }
  return six_volumes / 6.0;
}

std::vector<Vec3f> vertex_normals(const Mesh& mesh) {
  std::vector<Vec3> sums(mesh.positions.size(), Vec3::Zero());
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    const Vec3 a = mesh.corner(t, 0);
    const Vec3 n = (mesh.corner(t, 1) - a).cross(mesh.corner(t, 2) - a);
    for (const std::uint32_t v : mesh.triangles[t]) sums[v] += n;
  }
  std::vector<Vec3f> normals(sums.size());
  for (std::size_t v = 0; v < sums.size(); ++v) {
    const double length = sums[v].norm();
    normals[v] = length > 0 ? Vec3f((sums[v] / length).cast<float>()) : Vec3f::Zero();
  }
  return normals;
}

void append(Mesh& all, const Mesh& more) {
  const auto offset = static_cast<std::uint32_t>(all.positions.size());
  const bool coloured = all.colours.size() == all.positions.size() && more.colours.size() == more.positions.size();
  all.positions.insert(all.positions.end(), more.positions.begin(), more.positions.end());
  all.colours.insert(all.colours.end(), more.colours.begin(), more.colours.end());
  if (!coloured) all.colours.clear();
  all.triangles.reserve(all.triangles.size() + more.triangles.size());
  for (const Triangle& t : more.triangles) all.triangles.push_back({t[0] + offset, t[1] + offset, t[2] + offset});
}

Mesh transformed(const Mesh& mesh, const Pose& pose) {
  Mesh moved = mesh;
  for (Vec3f& p : moved.positions) p = (pose * p.cast<double>()).cast<float>();
  return moved;
}

}  // namespace intercusp
