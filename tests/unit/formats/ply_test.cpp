#include "formats/ply.h"

#include <cstring>

#include "formats/expect.h"
#include "formats/mesh_writer.h"
#include "formats/sample_meshes.h"

using namespace intercusp;

namespace {

std::string header(const std::string& format, const std::string& lines) {
  return "ply\nformat " + format + " 1.0\n" + lines + "end_header\n";
}

const std::string kXyz = "property float x\nproperty float y\nproperty float z\n";
const std::string kFaces = "property list uchar int vertex_indices\n";

// Numbers in either byte order, written one value at a time.
struct Writer {
  Bytes bytes;
  bool big = false;

  template <class T>
  void put(T value) {
    std::uint8_t raw[sizeof(T)];
    std::memcpy(raw, &value, sizeof(T));
    if (big) std::reverse(raw, raw + sizeof(T));
    for (const std::uint8_t b : raw) bytes.push_back(b);
  }
};

// A triangle and a square whose rows use every scalar type, with lists and elements to pass over.
Bytes all_types(bool big) {
  Writer w;
  w.big = big;
  w.bytes = bytes_of(header(big ? "binary_big_endian" : "binary_little_endian",
                            "comment scanned for Ada Example\nobj_info Ada Example\n"
                            "element camera 1\nproperty list ushort double pose\nproperty char c\n"
                            "element vertex 5\nproperty double x\nproperty short s\nproperty float y\n"
                            "property list uint int8 extra\nproperty int32 z\nproperty uint16 red\n"
                            "property float32 green\nproperty uint8 blue\nproperty uint u\n"
                            "element face 2\nproperty uchar flag\nproperty list int16 uint vertex_index\n"));
  w.put<std::uint16_t>(2);
  w.put<double>(1);
  w.put<double>(2);
  w.put<std::int8_t>(-1);
  const double points[5][3] = {{0, 0, 0}, {1.5, 0, 0}, {1.5, 2.25, 0}, {0, 2.25, -3}, {7, 7, 7}};
  for (const auto& p : points) {
    w.put<double>(p[0]);
    w.put<std::int16_t>(-300);
    w.put<float>(static_cast<float>(p[1]));
    w.put<std::uint32_t>(3);
    for (const std::int8_t b : {std::int8_t{1}, std::int8_t{2}, std::int8_t{3}}) w.put(b);
    w.put<std::int32_t>(static_cast<std::int32_t>(p[2]));
    w.put<std::uint16_t>(65535);
    w.put<float>(0.2f);
    w.put<std::uint8_t>(77);
    w.put<std::uint32_t>(4000000000u);
  }
  w.put<std::uint8_t>(9);
  w.put<std::int16_t>(4);
  for (const std::uint32_t v : {0u, 1u, 2u, 3u}) w.put(v);
  w.put<std::uint8_t>(9);
  w.put<std::int16_t>(3);
  for (const std::uint32_t v : {0u, 3u, 1u}) w.put(v);
  return w.bytes;
}

}  // namespace

TEST_CASE("PLY comes back bit for bit with its colours") {
  const Mesh cube = coloured_cube();
  const auto back = import(write_ply(cube));
  REQUIRE(back.ok());
  CHECK(back.value().format == "PLY");
  CHECK(signed_volume(back.value().mesh) == doctest::Approx(1));
  // Welding orders vertices by first use; the written cube uses 0, 2, 1, 3, 4, ...
  for (std::size_t t = 0; t < 12; ++t) {
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t now = back.value().mesh.triangles[t][k], then = cube.triangles[t][k];
      CHECK(back.value().mesh.positions[now] == cube.positions[then]);
      CHECK(back.value().mesh.colours[now] == cube.colours[then]);
    }
  }
}

TEST_CASE("both byte orders, all scalar types, lists and foreign elements are read") {
  for (const bool big : {false, true}) {
    CAPTURE(big);
    const auto read = import(all_types(big));
    REQUIRE(read.ok());
    const Mesh& mesh = read.value().mesh;
    REQUIRE(mesh.positions.size() == 4);
    CHECK(mesh.positions[2] == Vec3f(1.5f, 2.25f, 0));
    CHECK(mesh.positions[3] == Vec3f(0, 2.25f, -3));
    CHECK(mesh.triangles == std::vector<Triangle>{{0, 1, 2}, {0, 2, 3}, {0, 3, 1}});
    CHECK(mesh.colours[0] == Colour{255, 51, 77, 255});
    CHECK(read.value().notes.split_polygons == 1);
    CHECK(read.value().notes.unused_vertices == 1);
  }
}

TEST_CASE("text PLY with colours, polygons, comments and any line ends") {
  std::string text = header("ascii", "comment Ada Example\nelement vertex 5\n" + kXyz +
                                         "property uchar red\nproperty uchar green\nproperty uchar blue\n"
                                         "property uchar alpha\nelement face 2\n" +
                                         kFaces) +
                     "0 0 0 1 2 3 4\n1 0 0 5 6 7 8\n1 1 0 9 10 11 12\n0 1 0 13 14 15 16\n.5 2 -0e0 17 18 19 20\n"
                     "5 0 1 2 4 3\n2 0 1";
  for (const char* line_end : {"\n", "\r\n", "\r"}) {
    std::string variant;
    for (const char c : text) variant += c == '\n' ? line_end : std::string(1, c);
    const auto read = import(variant);
    REQUIRE(read.ok());
    CHECK(read.value().mesh.triangles.size() == 3);
    CHECK(read.value().mesh.colours[1] == Colour{5, 6, 7, 8});
    CHECK(read.value().notes.split_polygons == 1);
    CHECK(read.value().notes.short_faces == 1);
  }
}

TEST_CASE("faces may stand before the vertices") {
  const auto read = import(header("ascii", "element face 1\n" + kFaces + "element vertex 3\n" + kXyz) +
                           "3 0 1 2\n0 0 0\n1 0 0\n0 1 0\n");
  REQUIRE(read.ok());
  CHECK(read.value().mesh.positions.size() == 3);
}

TEST_CASE("float colours run from 0 to 1 and are kept in range") {
  const auto read = import(header("ascii", "element vertex 3\n" + kXyz +
                                               "property float red\nproperty float green\nproperty float blue\n"
                                               "element face 1\n" +
                                               kFaces) +
                           "0 0 0 1 0.5 0\n1 0 0 2 -1 nan\n0 1 0 0 0 0\n3 0 1 2\n");
  REQUIRE(read.ok());
  CHECK(read.value().mesh.colours[0] == Colour{255, 128, 0, 255});
  CHECK(read.value().mesh.colours[1] == Colour{255, 0, 0, 255});
}

TEST_CASE("comments do not reach anything that is written") {
  const auto read = import(all_types(true));
  REQUIRE(read.ok());
  for (const Bytes& out : {write_stl(read.value().mesh), write_ply(read.value().mesh), write_obj(read.value().mesh),
                           write_glb(read.value().mesh)}) {
    CHECK(std::string(out.begin(), out.end()).find("Ada") == std::string::npos);
  }
}

TEST_CASE("a damaged PLY header says its line") {
  CHECK(fails("ply\nformat ascii 1.0\nelement vertex 3\n", "line 4: the file ends before end_header"));
  CHECK(fails("ply\nelement vertex 3\nend_header\n", "does not say format"));
  CHECK(fails("ply\nformat binary_middle_endian 1.0\nend_header\n", "line 2: the format is none of"));
  CHECK(fails("ply\nformat ascii 2.0\nend_header\n", "version is not 1.0"));
  CHECK(fails(header("ascii", "element vertex many\n"), "line 3: an element lacks its name or count"));
  CHECK(fails(header("ascii", "element vertex -3\n"), "lacks its name or count"));
  CHECK(fails(header("ascii", "element vertex 99999999999999999999\n"), "lacks its name or count"));
  CHECK(fails(header("ascii", "property float x\n"), "line 3: a property stands before"));
  CHECK(fails(header("ascii", "element vertex 3\nproperty colour x\n"), "line 4: a property has a type"));
  CHECK(fails(header("ascii", "element vertex 3\nproperty list float int x\n"), "no whole-number type"));
  CHECK(fails(header("ascii", "element vertex 3\nelement vertex 3\n"), "the same element stands twice"));
  CHECK(fails(header("ascii", "Ada Example\n"), "line 3: the header holds a line that PLY does not know"));
}

TEST_CASE("a PLY without a surface says so") {
  CHECK(fails(header("ascii", ""), "has no vertices"));
  CHECK(fails(header("ascii", "element vertex 1\n" + kXyz) + "0 0 0\n", "points only, no faces"));
  CHECK(fails(header("ascii", "element vertex 1\n" + kXyz + "element tristrips 1\nproperty list int int i\n"),
              "strips of triangles"));
  CHECK(fails(header("ascii", "element vertex 1\nproperty float x\nelement face 1\n" + kFaces) + "0\n3 0 0 0\n",
              "lack one of the properties x, y and z"));
  CHECK(fails(header("ascii", "element vertex 1\n" + kXyz + "element face 1\nproperty int i\n") + "0 0 0\n3\n",
              "no list vertex_indices"));
  CHECK(fails(header("ascii", "element vertex 1\n" + kXyz + "element face 1\n" + kFaces) + "0 0 0\n3 0 0 0\n",
              "holds no triangles"));
  // Elements whose properties are missing have no places that faces could name.
  CHECK(fails(header("ascii", "element vertex 4\nelement face 1\n" + kFaces) + "3 0 1 2\n",
              "lack one of the properties x, y and z"));
  CHECK(fails(header("ascii", "element vertex 3\n" + kXyz + "element face 1\n") + "0 0 0\n1 0 0\n0 1 0\n",
              "no list vertex_indices"));
}

TEST_CASE("PLY counts that the file cannot hold are refused before memory is claimed") {
  const std::string faces = "element face 1\n" + kFaces;
  const std::string lie = "element vertex 4000000000\n" + kXyz;
  CHECK(fails(header("ascii", lie + faces) + "0 0 0\n", "4,000,000,000 vertex rows of at least 6 bytes"));
  CHECK(fails(header("binary_little_endian", lie + faces) + std::string(24, 'a'), "but only 24 bytes follow"));
  CHECK(fails(header("ascii", "element vertex 1\n" + kXyz + "element face 9223372036854775807\n" + kFaces) + "0 0 0\n",
              "face rows"));
  CHECK(fails(header("ascii", "element vertex 1\n" + kXyz + faces) + "0 0 0\n4294967295 0 0 0 0",
              "the file ends in face 1 of 1"));
  // Rows without a value take no time either.
  CHECK(fails(
      header("ascii", "element nothing 9000000000000000000\nelement vertex 1\n" + kXyz + faces) + "0 0 0\n3 0 0 0",
      "holds no triangles"));
}

TEST_CASE("damaged PLY data say the line or byte") {
  const std::string h = header("ascii", "element vertex 3\n" + kXyz + "element face 1\n" + kFaces);
  CHECK(fails(h + "0 0 0\n1 0 0\n0 1 x\n3 0 1 2\n", "line 12: there is no number in vertex 3 of 3"));
  CHECK(fails(h + "0 0 0\n1 0 inf\n0 1 0\n3 0 1 2\n", "line 11: a coordinate of vertex 2 is not a finite number"));
  CHECK(fails(h + "0 0 0\n1 0 0\n0 1 0\n3 0 1 3\n", "face 1 points to a vertex that does not exist (there are 3)"));
  CHECK(fails(h + "0 0 0\n1 0 0\n0 1 0\n3 0 1 -1\n", "does not exist"));
  CHECK(fails(h + "0 0 0\n1 0 0\n0 1 0\n3 0 1 1.5\n", "does not exist"));
  CHECK(fails(h + "0 0 0\n1 0 0\n0 1 0\n-3 0 1 2\n", "there is no number in face 1"));
  CHECK(fails(h + "0 0 0\n1 0 0\n0 1 0\n3 0 1", "the file ends in face 1 of 1"));
  Bytes cut = write_ply(unit_cube());
  cut.pop_back();
  CHECK(fails(cut, "byte"));
  CHECK(fails(cut, "the file ends in face 12 of 12"));
}
