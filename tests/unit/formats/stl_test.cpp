#include "formats/stl.h"

#include "formats/expect.h"
#include "formats/mesh_writer.h"
#include "formats/sample_meshes.h"

using namespace intercusp;

namespace {

const char* const kTriangleText =
    "facet normal 0 0 1\n outer loop\n  vertex 0 0 0\n  vertex 1 0 0\n  vertex 0 1 0\n endloop\nendfacet\n";

std::string solid(const std::string& inside) {
  return "solid part\n" + inside + "endsolid part\n";
}

Mesh triangles(std::uint32_t n) {
  Mesh m;
  for (std::uint32_t i = 0; i < n; ++i) {
    const auto x = static_cast<float>(i);
    for (const Vec3f& p : {Vec3f(x, 0, 0), Vec3f(x + 0.5f, 0, 0), Vec3f(x, 1, 0)}) m.positions.push_back(p);
    m.triangles.push_back({3 * i, 3 * i + 1, 3 * i + 2});
  }
  return m;
}

}  // namespace

// Sizes computed in reference-values.md 13.3: 1 -> 134, 1,000 -> 50,084, 200,000 -> 10,000,084 bytes.
TEST_CASE("a binary STL takes 84 + 50 n bytes and comes back with n triangles") {
  CHECK(write_stl(Mesh{}).size() == 84);
  CHECK(write_stl(triangles(1)).size() == 134);
  CHECK(write_stl(triangles(1000)).size() == 50084);
  const Bytes large = write_stl(torus(1000, 100));
  CHECK(large.size() == 10000084);
  const auto back = import(large);
  REQUIRE(back.ok());
  CHECK(back.value().format == "binary STL");
  CHECK(back.value().mesh.triangles.size() == 200000);
  CHECK(back.value().mesh.positions.size() == 100000);  // V = F / 2 on a torus (Euler characteristic 0)
  CHECK(back.value().notes.joined_vertices == 500000);
}

TEST_CASE("the written header is plain: no solid, no name, attribute words 0, normals unit and outward") {
  const Bytes bytes = write_stl(unit_cube());
  CHECK(std::string(bytes.begin(), bytes.begin() + 5) != "solid");
  for (std::size_t t = 0; t < 12; ++t) {
    const std::uint8_t* p = bytes.data() + 84 + 50 * t;
    const Vec3f n(load_f32_le(p), load_f32_le(p + 4), load_f32_le(p + 8));
    const Vec3f corner(load_f32_le(p + 12), load_f32_le(p + 16), load_f32_le(p + 20));
    CHECK(n.norm() == doctest::Approx(1));
    CHECK(n.dot(corner - Vec3f(0.5f, 0.5f, 0.5f)) > 0);
    CHECK(load_u16_le(p + 48) == 0);
  }
}

// Computed: volume 1 with outward triangles, -1 with all reversed, area 6.
TEST_CASE("the unit cube keeps volume, area and the side that is out") {
  const auto cube = import(write_stl(unit_cube()));
  REQUIRE(cube.ok());
  CHECK(cube.value().mesh.positions.size() == 8);
  CHECK(signed_volume(cube.value().mesh) == doctest::Approx(1));
  CHECK(surface_area(cube.value().mesh) == doctest::Approx(6));
  Mesh reversed = unit_cube();
  for (Triangle& t : reversed.triangles) std::swap(t[1], t[2]);
  const auto back = import(write_stl(reversed));
  REQUIRE(back.ok());
  CHECK(signed_volume(back.value().mesh) == doctest::Approx(-1));
}

TEST_CASE("a binary STL that begins with solid is still binary, and its header is not carried on") {
  Bytes bytes = write_stl(unit_cube());
  const std::string header = "solid Lower jaw of Ada Example born 1990-01-01";
  std::copy(header.begin(), header.end(), bytes.begin());
  const auto cube = import(bytes);
  REQUIRE(cube.ok());
  CHECK(cube.value().format == "binary STL");
  CHECK(cube.value().mesh.triangles.size() == 12);
}

TEST_CASE("stored normals and attribute words are ignored") {
  Bytes bytes = write_stl(unit_cube());
  put_u32_le(bytes, 84, 0x7FC00000);  // a normal that is not a number
  bytes[84 + 48] = 0xFF;
  CHECK(import(bytes).ok());
}

TEST_CASE("text STL: several solids, capitals, any line ends, names passed over") {
  const auto two = import("solid facet vertex endsolid\r\n" + std::string(kTriangleText) + "endsolid x\r\nSOLID\r" +
                          "FACET NORMAL nan 0 0 OUTER LOOP VERTEX 0 0 5 VERTEX 1.5e0 0 5 VERTEX 0 +1 5 ENDLOOP " +
                          "ENDFACET\rENDSOLID");
  REQUIRE(two.ok());
  CHECK(two.value().format == "text STL");
  CHECK(two.value().mesh.triangles.size() == 2);
  CHECK(two.value().mesh.positions[4] == Vec3f(1.5f, 0, 5));
}

TEST_CASE("collapsed and flat triangles are counted") {
  Mesh mesh = triangles(3);
  mesh.positions[1] = mesh.positions[0];
  mesh.positions[5] = (mesh.positions[3] + mesh.positions[4]) / 2;
  const auto back = import(write_stl(mesh));
  REQUIRE(back.ok());
  CHECK(back.value().mesh.triangles.size() == 2);
  CHECK(back.value().notes.collapsed_triangles == 1);
  CHECK(back.value().notes.flat_triangles == 1);
  CHECK(back.value().notes.sentences().size() == 3);
}

TEST_CASE("a damaged binary STL says what it promises and what it has") {
  Bytes bytes = write_stl(unit_cube());
  Bytes cut(bytes.begin(), bytes.end() - 20);
  CHECK(fails(cut, "byte 80"));
  CHECK(fails(cut, "12 triangles, which take 684 bytes, but the file has 664"));
  put_u32_le(bytes, 80, 4294967295u);
  CHECK(fails(bytes, "4,294,967,295 triangles, which take 214,748,364,834 bytes"));
  CHECK(fails(Bytes(bytes.begin(), bytes.begin() + 40), "the file ends inside the 84 bytes"));
  CHECK(fails(write_stl(Mesh{}), "the binary STL file holds no triangles"));
}

TEST_CASE("a coordinate that is not finite is refused with its triangle and byte") {
  Bytes bytes = write_stl(unit_cube());
  put_u32_le(bytes, 84 + 50 * 3 + 12 + 8, 0x7F800000);  // infinity
  CHECK(fails(bytes, "byte 234: a coordinate of triangle 4 is not a finite number"));
  CHECK(fails(solid("facet normal 0 0 1 outer loop vertex 0 0 nan\n"), "line 2: a coordinate of triangle 1"));
  CHECK(fails(solid("facet normal 0 0 1 outer loop vertex 0 0 1e39\n"), "not a finite number"));
}

TEST_CASE("a damaged text STL says the line and what should stand there") {
  CHECK(fails("solid a\n" + std::string(kTriangleText), "line 9: the file ends without endsolid"));
  CHECK(fails("solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0", "line 4: the file ends in triangle 1"));
  CHECK(fails(solid("facet normal 0 0 1\nouter loop\nvertex 0 zero 0\n"), "line 4: another word than a number"));
  CHECK(fails(solid("facet normal 0 0 1\nouter loop\nendloop\n"), "line 4: another word than vertex"));
  CHECK(fails(solid("polygon\n"), "line 2: another word than facet or endsolid"));
  CHECK(fails(solid(""), "holds no triangles"));
  CHECK(fails(std::string("solid a\nendsolid a\nfacet"), "another word than solid"));
}

TEST_CASE("messages do not repeat text of the file") {
  const auto result = import(solid("facet normal 0 0 1\nouter loop\nvertex Ada Example 0\n"));
  REQUIRE_FALSE(result.ok());
  CHECK(result.error().sentence().find("Ada") == std::string::npos);
}
