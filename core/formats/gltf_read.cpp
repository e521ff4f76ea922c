#include <cmath>
#include <optional>
#include <string>

#include "formats/byte_order.h"
#include "formats/glb.h"
#include "formats/gltf_component.h"
#include "formats/linear_colour.h"

namespace intercusp {
namespace {

using nlohmann::json;

Error at_key(const std::string& key, std::string what) {
  return {std::move(what), "JSON key " + key, "the file is damaged or not glTF 2.0; export it again"};
}

const json* member(const json& object, const char* key) {
  if (!object.is_object()) return nullptr;
  const auto found = object.find(key);
  return found == object.end() ? nullptr : &*found;
}

const json* element(const json& root, const char* list, std::uint64_t index) {
  const json* found = member(root, list);
  return found && found->is_array() && index < found->size() ? &(*found)[static_cast<std::size_t>(index)] : nullptr;
}

// A whole number >= 0, or nothing when the key is missing or holds something else.
std::optional<std::uint64_t> whole(const json* value) {
  if (!value || !value->is_number_integer()) return std::nullopt;
  if (value->is_number_unsigned()) return value->get<std::uint64_t>();
  const std::int64_t number = value->get<std::int64_t>();
  if (number < 0) return std::nullopt;
  return static_cast<std::uint64_t>(number);
}

// Like `whole`, with a value for a missing key.
std::optional<std::uint64_t> whole_or(const json* value, std::uint64_t otherwise) {
  return value ? whole(value) : std::optional<std::uint64_t>(otherwise);
}

std::size_t component_size(std::uint64_t type) {
  switch (type) {
    case kByte:
    case kUnsignedByte:
      return 1;
    case kShort:
    case kUnsignedShort:
      return 2;
    case kUnsignedInt:
    case kFloat:
      return 4;
    default:
      return 0;
  }
}

std::size_t component_count(const json* type) {
  if (!type || !type->is_string()) return 0;
  const std::string& name = type->get_ref<const std::string&>();
  if (name == "SCALAR") return 1;
  if (name == "VEC3") return 3;
  if (name == "VEC4") return 4;
  return 0;
}

// Elements inside the BIN chunk; every one of the `count` is known to lie inside it.
struct Accessor {
  const std::uint8_t* data = nullptr;
  std::size_t count = 0, stride = 0, components = 0;
  std::uint64_t type = 0;
};

struct View {
  std::size_t begin = 0, length = 0, stride = 0;
};

Result<View> open_view(const GlbDocument& document, std::uint64_t index) {
  const std::string key = "bufferViews[" + std::to_string(index) + "]";
  const json* view = element(document.json, "bufferViews", index);
  if (!view) return at_key(key, "there is no such buffer view");
  const json* buffer = element(document.json, "buffers", 0);
  if (whole(member(*view, "buffer")) != 0u || !buffer || member(*buffer, "uri")) {
    return at_key(key + ".buffer", "the data lie outside this file, only data inside the .glb can be read");
  }
  const auto offset = whole_or(member(*view, "byteOffset"), 0), length = whole(member(*view, "byteLength"));
  const auto stride = whole_or(member(*view, "byteStride"), 0);
  const std::size_t available = document.bin.size();
  if (!offset || !length || *offset > available || *length > available - *offset) {
    return at_key(key, "it does not lie inside the " + std::to_string(available) + " bytes of the binary part");
  }
  if (!stride || *stride > 252) return at_key(key + ".byteStride", "it must be a whole number up to 252");
  return View{static_cast<std::size_t>(*offset), static_cast<std::size_t>(*length), static_cast<std::size_t>(*stride)};
}

Result<Accessor> place_in_view(const GlbDocument& document, const View& view, const json& description,
                               const std::string& key) {
  Accessor accessor;
  accessor.type = whole(member(description, "componentType")).value_or(0);
  accessor.components = component_count(member(description, "type"));
  const std::size_t size = component_size(accessor.type) * accessor.components;
  if (size == 0) return at_key(key, "its componentType or type is missing or not usable here");
  accessor.stride = view.stride == 0 ? size : view.stride;
  if (accessor.stride < size) return at_key(key, "the byteStride of its view is shorter than one element");
  const auto count = whole(member(description, "count")), offset = whole_or(member(description, "byteOffset"), 0);
  if (!count || *count == 0) return at_key(key + ".count", "it must be a whole number above 0");
  const bool fits = offset && *offset <= view.length && view.length - *offset >= size &&
                    *count - 1 <= (view.length - *offset - size) / accessor.stride;
  if (!fits) return at_key(key, std::to_string(*count) + " elements do not fit into its buffer view");
  accessor.data = document.bin.data() + view.begin + *offset;
  accessor.count = static_cast<std::size_t>(*count);
  return accessor;
}

Result<Accessor> open_accessor(const GlbDocument& document, const json* index) {
  const auto number = whole(index);
  const std::string key = "accessors[" + (number ? std::to_string(*number) : std::string("?")) + "]";
  const json* description = number ? element(document.json, "accessors", *number) : nullptr;
  if (!description) return at_key(key, "there is no such accessor");
  if (member(*description, "sparse")) {
    Error error = at_key(key + ".sparse", "sparse accessors cannot be read");
    error.remedy = "export the mesh without sparse accessors";
    return error;
  }
  const auto view_index = whole(member(*description, "bufferView"));
  if (!view_index) return at_key(key + ".bufferView", "it is missing, so the accessor holds no data");
  const Result<View> view = open_view(document, *view_index);
  if (!view) return view.error();
  return place_in_view(document, view.value(), *description, key);
}

Status read_positions(const Accessor& accessor, const std::string& key, Mesh& mesh) {
  if (accessor.type != kFloat || accessor.components != 3) return at_key(key, "positions must be VEC3 of float");
  mesh.positions.reserve(mesh.positions.size() + accessor.count);
  for (std::size_t i = 0; i < accessor.count; ++i) {
    const std::uint8_t* p = accessor.data + i * accessor.stride;
    const Vec3f position(load_f32_le(p), load_f32_le(p + 4), load_f32_le(p + 8));
    if (!position.allFinite()) return at_key(key, "position " + std::to_string(i) + " is not a finite number");
    mesh.positions.push_back(position);
  }
  return Done{};
}

// One colour component as 16-bit fraction of full.
std::uint16_t load_fraction(const std::uint8_t* p, std::uint64_t type) {
  if (type == kUnsignedByte) return static_cast<std::uint16_t>(*p * 257);
  if (type == kUnsignedShort) return load_u16_le(p);
  const float value = load_f32_le(p);
  if (!(value > 0)) return 0;  // also not-a-number
  return static_cast<std::uint16_t>(std::lround(std::min(value, 1.0f) * 65535.0f));
}

Status read_colours(const Accessor& accessor, std::size_t positions, const std::string& key, Mesh& mesh) {
  const bool usable = accessor.components >= 3 &&
                      (accessor.type == kUnsignedByte || accessor.type == kUnsignedShort || accessor.type == kFloat);
  if (!usable) return at_key(key, "colours must be VEC3 or VEC4 of unsigned byte, unsigned short or float");
  if (accessor.count != positions) {
    return at_key(key, std::to_string(accessor.count) + " colours for " + std::to_string(positions) + " positions");
  }
  const std::size_t size = component_size(accessor.type);
  for (std::size_t i = 0; i < accessor.count; ++i) {
    const std::uint8_t* p = accessor.data + i * accessor.stride;
    Colour colour = {0, 0, 0, 255};
    for (std::size_t k = 0; k < 3; ++k) colour[k] = srgb_from_linear(load_fraction(p + k * size, accessor.type));
    if (accessor.components == 4)
      colour[3] = static_cast<std::uint8_t>(load_fraction(p + 3 * size, accessor.type) >> 8);
    mesh.colours.push_back(colour);
  }
  return Done{};
}

std::uint32_t load_index(const std::uint8_t* p, std::uint64_t type) {
  if (type == kUnsignedByte) return *p;
  return type == kUnsignedShort ? load_u16_le(p) : load_u32_le(p);
}

Status read_indices(const Accessor& accessor, std::size_t base, const std::string& key, Mesh& mesh) {
  const bool whole_type =
      accessor.type == kUnsignedByte || accessor.type == kUnsignedShort || accessor.type == kUnsignedInt;
  if (!whole_type || accessor.components != 1) return at_key(key, "indices must be unsigned whole numbers");
  if (accessor.count % 3 != 0) return at_key(key, "the number of indices is not a multiple of 3");
  const std::size_t limit = mesh.positions.size() - base;
  mesh.triangles.reserve(mesh.triangles.size() + accessor.count / 3);
  Triangle triangle{};
  for (std::size_t i = 0; i < accessor.count; ++i) {
    const std::uint32_t index = load_index(accessor.data + i * accessor.stride, accessor.type);
    if (index >= limit) {
      return at_key(key, "index " + std::to_string(i) + " points to vertex " + std::to_string(index) + " of " +
                             std::to_string(limit));
    }
    triangle[i % 3] = static_cast<std::uint32_t>(base) + index;
    if (i % 3 == 2) mesh.triangles.push_back(triangle);
  }
  return Done{};
}

Status read_triangles(const GlbDocument& document, const json* indices, std::size_t base, const std::string& key,
                      Mesh& mesh) {
  if (indices) {
    const Result<Accessor> accessor = open_accessor(document, indices);
    return accessor ? read_indices(accessor.value(), base, key + ".indices", mesh) : accessor.error();
  }
  const std::size_t count = mesh.positions.size() - base;
  if (count % 3 != 0) return at_key(key, "it has no indices and its number of vertices is not a multiple of 3");
  for (std::size_t v = base; v < mesh.positions.size(); v += 3) {
    const auto first = static_cast<std::uint32_t>(v);
    mesh.triangles.push_back({first, first + 1, first + 2});
  }
  return Done{};
}

Status read_primitive(const GlbDocument& document, const json& primitive, const std::string& key, Mesh& mesh) {
  if (whole_or(member(primitive, "mode"), 4) != 4u) return at_key(key + ".mode", "only triangles (4) can be read");
  const json* attributes = member(primitive, "attributes");
  const json* position = attributes ? member(*attributes, "POSITION") : nullptr;
  if (!position) return at_key(key + ".attributes.POSITION", "it is missing");
  const std::size_t base = mesh.positions.size();
  const Result<Accessor> positions = open_accessor(document, position);
  if (!positions) return positions.error();
  // Primitives that share data would let a small file claim much memory.
  if (positions.value().count > document.bin.size() / 12 - base) {
    return at_key(key, "its primitives use the same positions again and again");
  }
  if (Status s = read_positions(positions.value(), key + ".attributes.POSITION", mesh); !s) return s;
  if (Status s = read_triangles(document, member(primitive, "indices"), base, key, mesh); !s) return s;
  if (mesh.triangles.size() > document.bin.size() / 3) {
    return at_key(key, "its primitives use the same indices again and again");
  }
  const json* colour = member(*attributes, "COLOR_0");
  if (colour || !mesh.colours.empty()) mesh.colours.resize(base, Colour{255, 255, 255, 255});
  if (!colour) {
    if (!mesh.colours.empty()) mesh.colours.resize(mesh.positions.size(), Colour{255, 255, 255, 255});
    return Done{};
  }
  const Result<Accessor> colours = open_accessor(document, colour);
  if (!colours) return colours.error();
  return read_colours(colours.value(), mesh.positions.size() - base, key + ".attributes.COLOR_0", mesh);
}

}  // namespace

Result<Mesh> read_gltf_mesh(const GlbDocument& document, int mesh_index) {
  const std::string key = "meshes[" + std::to_string(mesh_index) + "]";
  const json* description =
      mesh_index < 0 ? nullptr : element(document.json, "meshes", static_cast<std::uint64_t>(mesh_index));
  if (!description) return at_key(key, "there is no such mesh");
  const json* primitives = member(*description, "primitives");
  if (!primitives || !primitives->is_array() || primitives->empty()) {
    return at_key(key + ".primitives", "it is missing or empty");
  }
  Mesh mesh;
  for (std::size_t i = 0; i < primitives->size(); ++i) {
    const std::string where = key + ".primitives[" + std::to_string(i) + "]";
    if (const Status s = read_primitive(document, (*primitives)[i], where, mesh); !s) return s.error();
  }
  return mesh;
}

}  // namespace intercusp
