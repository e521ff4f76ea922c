#include "formats/mesh_writer.h"

#include <cstring>
#include <string>

#include "formats/byte_order.h"
#include "formats/glb.h"
#include "formats/number_text.h"

namespace intercusp {
namespace {

using nlohmann::json;

void append_text(std::vector<std::uint8_t>& out, const std::string& text) {
  out.insert(out.end(), text.begin(), text.end());
}

void append_vector(std::vector<std::uint8_t>& out, const Vec3f& v) {
  for (int k = 0; k < 3; ++k) append_f32_le(out, v[k]);
}

Vec3f unit_normal(const Mesh& mesh, std::size_t t) {
  const Vec3 a = mesh.corner(t, 0);
  const Vec3 n = (mesh.corner(t, 1) - a).cross(mesh.corner(t, 2) - a);
  const double length = n.norm();
  return length > 0 ? Vec3f((n / length).cast<float>()) : Vec3f::Zero();
}

std::string ply_header(const Mesh& mesh) {
  std::string text = "ply\nformat binary_little_endian 1.0\nelement vertex " + std::to_string(mesh.positions.size()) +
                     "\nproperty float x\nproperty float y\nproperty float z\n";
  if (!mesh.colours.empty()) {
    text += "property uchar red\nproperty uchar green\nproperty uchar blue\nproperty uchar alpha\n";
  }
  return text + "element face " + std::to_string(mesh.triangles.size()) +
         "\nproperty list uchar int vertex_indices\nend_header\n";
}

}  // namespace

std::vector<std::uint8_t> write_stl(const Mesh& mesh) {
  static const char kHeader[] = "binary STL, millimetres";
  std::vector<std::uint8_t> out;
  out.reserve(84 + 50 * mesh.triangles.size());
  append_text(out, kHeader);
  out.resize(80, 0);
  append_u32_le(out, static_cast<std::uint32_t>(mesh.triangles.size()));
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    append_vector(out, unit_normal(mesh, t));
    for (const std::uint32_t v : mesh.triangles[t]) append_vector(out, mesh.positions[v]);
    append_u16_le(out, 0);
  }
  return out;
}

std::vector<std::uint8_t> write_ply(const Mesh& mesh) {
  std::vector<std::uint8_t> out;
  append_text(out, ply_header(mesh));
  out.reserve(out.size() + 16 * mesh.positions.size() + 13 * mesh.triangles.size());
  for (std::size_t v = 0; v < mesh.positions.size(); ++v) {
    append_vector(out, mesh.positions[v]);
    if (!mesh.colours.empty()) out.insert(out.end(), mesh.colours[v].begin(), mesh.colours[v].end());
  }
  for (const Triangle& triangle : mesh.triangles) {
    out.push_back(3);
    for (const std::uint32_t v : triangle) append_u32_le(out, v);
  }
  return out;
}

std::vector<std::uint8_t> write_obj(const Mesh& mesh) {
  std::string text;
  text.reserve(40 * mesh.positions.size() + 22 * mesh.triangles.size());
  for (std::size_t v = 0; v < mesh.positions.size(); ++v) {
    text += 'v';
    for (int k = 0; k < 3; ++k) append_decimal(text += ' ', mesh.positions[v][k]);
    for (std::size_t k = 0; k < 3 && !mesh.colours.empty(); ++k) {
      append_decimal(text += ' ', static_cast<float>(mesh.colours[v][k]) / 255.0f);
    }
    text += '\n';
  }
  for (const Triangle& triangle : mesh.triangles) {
    text += 'f';
    for (const std::uint32_t v : triangle) text += ' ' + std::to_string(v + 1);
    text += '\n';
  }
  return {text.begin(), text.end()};
}

std::vector<std::uint8_t> write_glb(const Mesh& mesh) {
  GlbDocument document;
  document.json = {{"asset", {{"version", "2.0"}, {"generator", "Intercusp"}}}, {"scene", 0}};
  const int index = append_mesh(document, mesh, -1);
  if (index < 0) {
    document.json["scenes"] = json::array({json::object()});
    return serialize_glb(document);
  }
  document.json["nodes"] = json::array({metres_y_up_node({1}), {{"mesh", index}}});
  document.json["scenes"] = json::array({{{"nodes", json::array({0})}}});
  return serialize_glb(document);
}

}  // namespace intercusp
