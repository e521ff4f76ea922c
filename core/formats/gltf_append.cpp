#include <cassert>

#include "formats/byte_order.h"
#include "formats/glb.h"
#include "formats/gltf_component.h"
#include "formats/linear_colour.h"

namespace intercusp {
namespace {

using nlohmann::json;

// Targets: glTF 2.0, section 5.11.5.
constexpr int kArrayBuffer = 34962, kElementArrayBuffer = 34963;

json& array_of(json& parent, const char* key) {
  json& value = parent[key];
  if (!value.is_array()) value = json::array();
  return value;
}

std::size_t push(json& root, const char* key, json value) {
  json& list = array_of(root, key);
  list.push_back(std::move(value));
  return list.size() - 1;
}

void make_basics(GlbDocument& document) {
  json& root = document.json;
  if (!root.is_object()) root = json::object();
  if (!root.contains("asset")) root["asset"] = {{"version", "2.0"}, {"generator", "Intercusp"}};
  if (array_of(root, "buffers").empty()) root["buffers"].push_back(json::object());
}

// The bytes from `start` to the end of the buffer become a view; the buffer is padded for the next one.
std::size_t close_view(GlbDocument& document, std::size_t start, int target) {
  const std::size_t length = document.bin.size() - start;
  document.bin.resize((document.bin.size() + 3) / 4 * 4);
  document.json["buffers"][0]["byteLength"] = document.bin.size();
  return push(document.json, "bufferViews",
              {{"buffer", 0}, {"byteOffset", start}, {"byteLength", length}, {"target", target}});
}

std::size_t append_positions(GlbDocument& document, const Mesh& mesh) {
  const std::size_t start = document.bin.size();
  Vec3f low = mesh.positions[0], high = mesh.positions[0];
  for (const Vec3f& p : mesh.positions) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
    for (int k = 0; k < 3; ++k) append_f32_le(document.bin, p[k]);
  }
  const std::size_t view = close_view(document, start, kArrayBuffer);
  return push(document.json, "accessors",
              {{"bufferView", view},
               {"componentType", kFloat},
               {"count", mesh.positions.size()},
               {"type", "VEC3"},
               {"min", {double{low[0]}, double{low[1]}, double{low[2]}}},
               {"max", {double{high[0]}, double{high[1]}, double{high[2]}}}});
}

std::size_t append_indices(GlbDocument& document, const Mesh& mesh) {
  const std::size_t start = document.bin.size();
  std::uint32_t low = mesh.triangles[0][0], high = low;
  for (const Triangle& triangle : mesh.triangles) {
    for (const std::uint32_t v : triangle) {
      low = std::min(low, v);
      high = std::max(high, v);
      append_u32_le(document.bin, v);
    }
  }
  const std::size_t view = close_view(document, start, kElementArrayBuffer);
  return push(document.json, "accessors",
              {{"bufferView", view},
               {"componentType", kUnsignedInt},
               {"count", mesh.triangles.size() * 3},
               {"type", "SCALAR"},
               {"min", {low}},
               {"max", {high}}});
}

std::size_t append_colours(GlbDocument& document, const Mesh& mesh) {
  const std::size_t start = document.bin.size();
  for (const Colour& c : mesh.colours) {
    for (std::size_t k = 0; k < 3; ++k) append_u16_le(document.bin, linear_from_srgb(c[k]));
    append_u16_le(document.bin, static_cast<std::uint16_t>(c[3] * 257));
  }
  const std::size_t view = close_view(document, start, kArrayBuffer);
  return push(document.json, "accessors",
              {{"bufferView", view},
               {"componentType", kUnsignedShort},
               {"normalized", true},
               {"count", mesh.colours.size()},
               {"type", "VEC4"}});
}

}  // namespace

int append_mesh(GlbDocument& document, const Mesh& mesh, int material) {
  if (mesh.empty() || mesh.positions.empty()) return -1;
  assert(mesh.colours.empty() || mesh.colours.size() == mesh.positions.size());
  make_basics(document);
  document.bin.resize((document.bin.size() + 3) / 4 * 4);
  document.bin.reserve(document.bin.size() + mesh.positions.size() * 12 + mesh.triangles.size() * 12 +
                       mesh.colours.size() * 8);
  json attributes = {{"POSITION", append_positions(document, mesh)}};
  const std::size_t indices = append_indices(document, mesh);
  if (!mesh.colours.empty()) attributes["COLOR_0"] = append_colours(document, mesh);
  json primitive = {{"attributes", attributes}, {"indices", indices}, {"mode", 4}};
  if (material >= 0) primitive["material"] = material;
  return static_cast<int>(push(document.json, "meshes", {{"primitives", json::array({primitive})}}));
}

json metres_y_up_node(const std::vector<int>& children) {
  constexpr double kHalfRoot = 0.70710678118654752;  // a quarter turn about -x takes z to y and y to -z
  return {{"children", children}, {"rotation", {-kHalfRoot, 0.0, 0.0, kHalfRoot}}, {"scale", {0.001, 0.001, 0.001}}};
}

}  // namespace intercusp
