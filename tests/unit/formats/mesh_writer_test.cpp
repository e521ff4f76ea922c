#include "formats/mesh_writer.h"

#include "formats/expect.h"
#include "formats/glb.h"
#include "formats/sample_meshes.h"

using namespace intercusp;

TEST_CASE("a .glb of one mesh holds it under a root node in metres, +Y up") {
  const Bytes bytes = write_glb(coloured_cube());
  const auto parsed = parse_glb(bytes.data(), bytes.size());
  REQUIRE(parsed.ok());
  const nlohmann::json& root = parsed.value().json;
  CHECK(root["scenes"][0]["nodes"] == nlohmann::json::array({0}));
  CHECK(root["nodes"][0]["children"] == nlohmann::json::array({1}));
  CHECK(root["nodes"][0]["scale"][0] == 0.001);
  CHECK(root["nodes"][1]["mesh"] == 0);
  CHECK(root["accessors"][0]["min"] == nlohmann::json({0.0, 0.0, 0.0}));
  CHECK(root["accessors"][0]["max"] == nlohmann::json({1.0, 1.0, 1.0}));
  CHECK(read_gltf_mesh(parsed.value(), 0).value().positions == coloured_cube().positions);
  const Bytes empty = write_glb(Mesh{});
  CHECK(parse_glb(empty.data(), empty.size()).ok());
}

TEST_CASE("PLY without colours has none in its header; OBJ counts from 1") {
  const Bytes ply = write_ply(unit_cube());
  CHECK(std::string(ply.begin(), ply.end()).find("red") == std::string::npos);
  const Bytes obj = write_obj(unit_cube());
  const std::string text(obj.begin(), obj.end());
  CHECK(text.rfind("v 0 0 0\nv 1 0 0\n", 0) == 0);
  CHECK(text.find("f 1 3 2\n") != std::string::npos);
  CHECK(text.find("f 0") == std::string::npos);
}
