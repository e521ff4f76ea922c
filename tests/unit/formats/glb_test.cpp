#include "formats/glb.h"

#include <doctest/doctest.h>

#include <cstring>
#include <limits>
#include <string>

#include "formats/expect.h"
#include "formats/sample_meshes.h"

using namespace intercusp;
using nlohmann::json;

namespace {

GlbDocument document_of(const Mesh& mesh) {
  GlbDocument document;
  REQUIRE(append_mesh(document, mesh, -1) == 0);
  return document;
}

std::vector<std::uint8_t> glb_with_json(const std::string& text) {
  std::string padded = text;
  padded.resize((padded.size() + 3) / 4 * 4, ' ');
  std::vector<std::uint8_t> bytes = {'g', 'l', 'T', 'F', 2, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 'J', 'S', 'O', 'N'};
  for (const char c : padded) bytes.push_back(static_cast<std::uint8_t>(c));
  const auto put = [&](std::size_t at, std::size_t value) {
    for (std::size_t i = 0; i < 4; ++i) bytes[at + i] = static_cast<std::uint8_t>(value >> (8 * i));
  };
  put(8, bytes.size());
  put(12, padded.size());
  return bytes;
}

std::string parse_message(const std::vector<std::uint8_t>& bytes) {
  const auto result = parse_glb(bytes.data(), bytes.size());
  REQUIRE_FALSE(result.ok());
  return result.error().sentence();
}

std::string mesh_message(const GlbDocument& document, int index = 0) {
  const auto result = read_gltf_mesh(document, index);
  REQUIRE_FALSE(result.ok());
  return result.error().sentence();
}

}  // namespace

// Found by the fuzzer: any other value of `buffers` than a list of objects stopped the program when it was written
// again.
TEST_CASE("a document whose buffers are nonsense is written as a sound one") {
  for (const char* buffers : {"[11]", "[null]", "[[]]", "3", "\"x\"", "[]", "null"}) {
    CAPTURE(buffers);
    GlbDocument document;
    document.json = nlohmann::json::parse(std::string(R"({"asset":{"version":"2.0"},"buffers":)") + buffers + "}");
    document.bin.assign(8, 7);
    const std::vector<std::uint8_t> written = serialize_glb(document);
    const auto again = parse_glb(written.data(), written.size());
    REQUIRE(again.ok());
    CHECK(again.value().bin == document.bin);
    CHECK(again.value().json["buffers"][0]["byteLength"] == 8);
  }
}

TEST_CASE("a mesh survives the glb container bit for bit, colours too") {
  const Mesh cube = coloured_cube();
  const auto bytes = serialize_glb(document_of(cube));
  CHECK(bytes.size() % 4 == 0);
  const auto parsed = parse_glb(bytes.data(), bytes.size());
  REQUIRE(parsed.ok());
  const auto back = read_gltf_mesh(parsed.value(), 0);
  REQUIRE(back.ok());
  CHECK(back.value().positions == cube.positions);
  CHECK(back.value().triangles == cube.triangles);
  CHECK(back.value().colours == cube.colours);
}

TEST_CASE("every one of the 256 colour levels survives") {
  Mesh strip = unit_cube();
  strip.positions.resize(256, Vec3f(9, 9, 9));
  for (int i = 0; i < 256; ++i) {
    const auto level = static_cast<std::uint8_t>(i);
    strip.colours.push_back({level, level, level, level});
  }
  const auto back = read_gltf_mesh(document_of(strip), 0);
  REQUIRE(back.ok());
  CHECK(back.value().colours == strip.colours);
}

// IEC 61966-2-1: sRGB 188/255 is linear 0.5029, stored as 0.5029 * 65535 = 32957 (worked by hand from the formula).
TEST_CASE("colours are stored as linear light, as glTF 2.0 section 3.7.2.1 asks") {
  Mesh cube = unit_cube();
  cube.colours.assign(8, Colour{188, 0, 255, 128});
  const GlbDocument document = document_of(cube);
  const std::size_t at = document.json["bufferViews"][2]["byteOffset"].get<std::size_t>();
  const auto fraction = [&](std::size_t k) { return document.bin[at + 2 * k] | document.bin[at + 2 * k + 1] << 8; };
  CHECK(std::abs(fraction(0) - 32957) <= 10);
  CHECK(fraction(1) == 0);
  CHECK(fraction(2) == 65535);
  CHECK(fraction(3) == 128 * 257);
}

TEST_CASE("several meshes share one buffer, 4-byte aligned") {
  GlbDocument document = document_of(coloured_cube());
  CHECK(append_mesh(document, torus(20, 10), -1) == 1);
  CHECK(append_mesh(document, Mesh{}, -1) == -1);
  for (const json& view : document.json["bufferViews"]) CHECK(view["byteOffset"].get<std::size_t>() % 4 == 0);
  const auto second = read_gltf_mesh(document, 1);
  REQUIRE(second.ok());
  CHECK(second.value().positions == torus(20, 10).positions);
  CHECK(says(mesh_message(document, 2), "meshes[2]"));
  CHECK(says(mesh_message(document, -1), "there is no such mesh"));
}

TEST_CASE("unknown fields survive and the length of the buffer follows the data") {
  GlbDocument document = document_of(unit_cube());
  document.json["extras"] = {{"later", {{"depth", 1.5}}}};
  document.bin.insert(document.bin.end(), {1, 2, 3, 4});
  const auto bytes = serialize_glb(document);
  const auto back = parse_glb(bytes.data(), bytes.size());
  REQUIRE(back.ok());
  CHECK(back.value().json["extras"] == document.json["extras"]);
  CHECK(back.value().json["buffers"][0]["byteLength"] == document.bin.size());
  CHECK(back.value().bin == document.bin);
}

TEST_CASE("strided views, short indices, float and byte colours, and joined primitives are read") {
  GlbDocument d;
  const float vertices[6][4] = {{0, 0, 0, 0}, {1, 0, 0, 1}, {0, 1, 0, 0.5f}, {5, 0, 0, 0}, {6, 0, 0, 0}, {5, 1, 0, 0}};
  d.bin.resize(sizeof vertices);
  std::memcpy(d.bin.data(), vertices, sizeof vertices);
  for (const std::uint8_t b : {2, 1, 0, 0, 0, 0, 1, 0, 2, 0, 0, 0}) d.bin.push_back(b);  // u8 then u16 indices
  d.json = json::parse(R"({"asset":{"version":"2.0"},"buffers":[{"byteLength":108}],
    "bufferViews":[{"buffer":0,"byteLength":96,"byteStride":16},{"buffer":0,"byteOffset":96,"byteLength":3},
                   {"buffer":0,"byteOffset":100,"byteLength":6}],
    "accessors":[{"bufferView":0,"componentType":5126,"count":3,"type":"VEC3"},
                 {"bufferView":0,"byteOffset":48,"componentType":5126,"count":3,"type":"VEC3"},
                 {"bufferView":1,"componentType":5121,"count":3,"type":"SCALAR"},
                 {"bufferView":2,"componentType":5123,"count":3,"type":"SCALAR"}],
    "meshes":[{"primitives":[{"attributes":{"POSITION":0,"COLOR_0":1},"indices":2},
                             {"attributes":{"POSITION":1},"indices":3}]}]})");
  const auto mesh = read_gltf_mesh(d, 0);
  REQUIRE(mesh.ok());
  CHECK(mesh.value().triangles == std::vector<Triangle>{{2, 1, 0}, {3, 4, 5}});
  CHECK(mesh.value().positions[3] == Vec3f(5, 0, 0));
  CHECK(mesh.value().colours[0] == Colour{255, 0, 0, 255});
  CHECK(mesh.value().colours[5] == Colour{255, 255, 255, 255});
}

TEST_CASE("a damaged container says what is wrong and at which byte") {
  const auto whole = serialize_glb(document_of(unit_cube()));
  auto cut = whole;
  cut.resize(cut.size() - 8);
  CHECK(says(parse_message(cut), "byte 8: the header gives a length of"));
  CHECK(says(parse_message({'g', 'l', 'T', 'F', 2, 0}), "byte 6: the file ends inside its header"));
  CHECK(says(parse_message({}), "not a .glb file"));
  CHECK(says(parse_message({'%', 'P', 'D', 'F', '-', '1', '.', '7'}), "not a .glb file"));
  auto lying = whole;
  lying[12] = lying[13] = lying[14] = lying[15] = 0xFF;
  CHECK(says(parse_message(lying), "byte 12: a chunk claims 4294967295 bytes"));
  auto version = whole;
  version[4] = 1;
  CHECK(says(parse_message(version), "byte 4: the container has version 1"));
  auto first = whole;
  first[16] = 'X';
  CHECK(says(parse_message(first), "byte 16: the first chunk is not JSON"));
}

TEST_CASE("damaged JSON says so, with the byte") {
  CHECK(says(parse_message(glb_with_json(R"({"asset":{"version":"2.0"},)")), "the JSON part is malformed"));
  CHECK(says(parse_message(glb_with_json("{\"a\" 1}")), "byte 26"));
  CHECK(says(parse_message(glb_with_json("[1]")), "not an object"));
  CHECK(says(parse_message(glb_with_json("{}")), "asset"));
  CHECK(says(parse_message(glb_with_json(R"({"asset":{"version":"1.0"}})")), "another version than 2"));
  CHECK(says(parse_message(glb_with_json(R"({"asset":{"version":2}})")), "asset.version"));
  CHECK(says(parse_message(glb_with_json(std::string(100000, '['))), "nests more than 64 levels"));
  CHECK(says(parse_message(glb_with_json("{\"asset\":{\"version\":\"\xff\"}}")), "malformed"));
  CHECK(says(parse_message(glb_with_json(R"({"asset":{"version":"2.0"},"n":1e999})")), "malformed"));
}

TEST_CASE("lying accessors and views are refused with their key") {
  const GlbDocument good = document_of(coloured_cube());
  const auto broken = [&](const char* pointer, const json& value) {
    GlbDocument d = good;
    d.json[json::json_pointer(pointer)] = value;
    return mesh_message(d);
  };
  CHECK(says(broken("/accessors/0/count", 4000000000u), "accessors[0]: 4000000000 elements do not fit"));
  CHECK(says(broken("/accessors/0/count", 18446744073709551615u), "do not fit"));
  CHECK(says(broken("/accessors/0/count", 0), "accessors[0].count"));
  CHECK(says(broken("/accessors/0/count", -1), "accessors[0].count"));
  CHECK(says(broken("/accessors/0/count", "8"), "accessors[0].count"));
  CHECK(says(broken("/accessors/0/byteOffset", 18446744073709551615u), "do not fit"));
  CHECK(says(broken("/accessors/0/type", "MAT4"), "accessors[0]"));
  CHECK(says(broken("/accessors/0/sparse", json::object()), "sparse accessors cannot be read"));
  CHECK(says(broken("/accessors/1/componentType", 5126), "indices must be unsigned"));
  CHECK(says(broken("/accessors/1/count", 35), "not a multiple of 3"));
  CHECK(says(broken("/accessors/2/count", 7), "7 colours for 8 positions"));
  CHECK(says(broken("/bufferViews/0/byteLength", 18446744073709551615u), "bufferViews[0]"));
  CHECK(says(broken("/bufferViews/0/byteOffset", 1000000), "does not lie inside"));
  CHECK(says(broken("/bufferViews/0/byteStride", 4), "shorter than one element"));
  CHECK(says(broken("/bufferViews/0/buffer", 1), "outside this file"));
  CHECK(says(broken("/buffers/0/uri", "other.bin"), "outside this file"));
  CHECK(says(broken("/meshes/0/primitives/0/mode", 1), "only triangles"));
  CHECK(says(broken("/meshes/0/primitives/0/attributes", 1), "POSITION"));
  CHECK(says(broken("/meshes/0/primitives/0/indices", 99), "accessors[99]: there is no such accessor"));
  CHECK(says(broken("/meshes/0/primitives", json::array()), "missing or empty"));
}

TEST_CASE("bad numbers in the data are refused") {
  GlbDocument nan = document_of(unit_cube());
  const float value = std::numeric_limits<float>::quiet_NaN();
  std::memcpy(nan.bin.data() + 12, &value, 4);
  CHECK(says(mesh_message(nan), "position 1 is not a finite number"));
  GlbDocument far = document_of(unit_cube());
  const std::size_t indices = far.json["bufferViews"][1]["byteOffset"].get<std::size_t>();
  far.bin[indices + 3] = 0x7F;
  CHECK(says(mesh_message(far), "index 0 points to vertex 2130706432 of 8"));
}

TEST_CASE("primitives that repeat the same data do not multiply memory") {
  GlbDocument d = document_of(torus(40, 20));
  const json primitive = d.json["meshes"][0]["primitives"][0];
  for (int i = 0; i < 100; ++i) d.json["meshes"][0]["primitives"].push_back(primitive);
  CHECK(says(mesh_message(d), "again and again"));
}

TEST_CASE("the root node turns patient millimetres into glTF metres with +Y up") {
  const json node = metres_y_up_node({1, 2});
  const auto q = node["rotation"].get<std::array<double, 4>>();
  const Eigen::Quaterniond turn(q[3], q[0], q[1], q[2]);
  const double scale = node["scale"][0].get<double>();
  CHECK((turn * Vec3(1000, 2000, 3000) * scale - Vec3(1, 3, -2)).norm() < 1e-12);
  CHECK(node["children"] == json({1, 2}));
}
