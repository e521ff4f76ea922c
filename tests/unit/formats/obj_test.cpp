#include "formats/obj.h"

#include "formats/expect.h"
#include "formats/mesh_writer.h"
#include "formats/sample_meshes.h"

using namespace intercusp;

namespace {
const std::string kSquare = "v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\n";
}

TEST_CASE("OBJ comes back bit for bit") {
  Mesh mesh = torus(40, 20);
  mesh.positions[3] = {1.0e-30f, 16777217.0f, 3.4028235e38f};
  const auto back = import(write_obj(mesh));
  REQUIRE(back.ok());
  CHECK(back.value().format == "OBJ");
  REQUIRE(back.value().mesh.triangles.size() == mesh.triangles.size());
  bool same = true;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    for (int k = 0; k < 3; ++k) same = same && back.value().mesh.corner(t, k) == mesh.corner(t, k);
  }
  CHECK(same);
}

TEST_CASE("every kind of corner, negative indices, polygons and continued lines") {
  for (const char* face : {"f 1 2 3 4", "f 1/1 2/2 3/3 4/4", "f 1//1 2//1 3//1 4//1", "f 1/1/1 2/2/1 3/3/1 4/4/1",
                           "f -4 -3 -2 -1", "f -4/-1/-1 2 -2 4", "f 1 2 \\\n 3 4", "f\t1  2 3\r4"}) {
    CAPTURE(face);
    const bool two_lines = std::string(face).find('\r') != std::string::npos;
    const auto read = import("vt 0 0\nvn 0 0 1\n" + kSquare + face + " # end\n");
    REQUIRE(read.ok());
    if (two_lines) {
      CHECK(read.value().mesh.triangles == std::vector<Triangle>{{0, 1, 2}});
    } else {
      CHECK(read.value().mesh.triangles == std::vector<Triangle>{{0, 1, 2}, {0, 2, 3}});
      CHECK(read.value().notes.split_polygons == 1);
    }
  }
}

TEST_CASE("negative indices count from the vertex last read, not from the end of the file") {
  const auto read = import("v 0 0 0\nv 1 0 0\nv 0 1 0\nf -3 -2 -1\nv 5 0 0\nv 6 0 0\nv 5 1 0\nf -3 -2 -1\n");
  REQUIRE(read.ok());
  CHECK(read.value().mesh.triangles == std::vector<Triangle>{{0, 1, 2}, {3, 4, 5}});
}

TEST_CASE("colours beside the coordinates are kept when every vertex has one") {
  const auto cube = import(write_obj(coloured_cube()));
  REQUIRE(cube.ok());
  const Mesh& mesh = cube.value().mesh;
  REQUIRE(mesh.colours.size() == 8);
  CHECK(mesh.colours[mesh.triangles[0][1]] == Colour{2, 253, 60, 255});
  const auto bytes = import(std::string("v 0 0 0 10 20 30\nv 1 0 0 255 0 0\nv 0 1 0 0 0 0\nf 1 2 3\n"));
  REQUIRE(bytes.ok());
  CHECK(bytes.value().mesh.colours[0] == Colour{10, 20, 30, 255});
  const auto partly = import(std::string("v 0 0 0 1 0 0\nv 1 0 0\nv 0 1 0 1 1 1\nf 1 2 3\n"));
  REQUIRE(partly.ok());
  CHECK(partly.value().mesh.colours.empty());
  const auto weight = import(std::string("v 0 0 0 1\nv 1 0 0 1\nv 0 1 0 1\nf 1 2 3\n"));
  REQUIRE(weight.ok());
  CHECK(weight.value().mesh.colours.empty());
}

TEST_CASE("names of objects, groups, materials and comments go nowhere") {
  const auto read =
      import("# Ada Example\no Ada\ng Ada \\\nf 9 9 9\nusemtl Ada\nmtllib Ada.mtl\n" + kSquare + "f 1 2 3\n");
  REQUIRE(read.ok());
  CHECK(read.value().mesh.triangles.size() == 1);
  for (const Bytes& out : {write_stl(read.value().mesh), write_obj(read.value().mesh), write_glb(read.value().mesh)}) {
    CHECK(std::string(out.begin(), out.end()).find("Ada") == std::string::npos);
  }
}

TEST_CASE("a damaged OBJ says the line") {
  CHECK(fails(kSquare + "f 1 2 5\n", "line 5: a face points to vertex 5, but 4 vertices stand before it"));
  CHECK(fails(kSquare + "f 0 1 2\n", "line 5: a face points to vertex 0"));
  CHECK(fails(kSquare + "f -5 1 2\n", "points to vertex -5"));
  CHECK(fails(kSquare + "f 1 2 4294967297\n", "points to vertex 4294967297"));
  CHECK(fails(kSquare + "f 1 2 99999999999999999999999\n", "something else than indices"));
  CHECK(fails(kSquare + "f a b c\n", "line 5: a face holds something else than indices"));
  CHECK(fails(std::string("v 0 0\n"), "line 1: a vertex has fewer than 3 coordinates"));
  CHECK(fails(std::string("v 0 0 x\n"), "line 1: a vertex holds something else than a number"));
  CHECK(fails(std::string("\nv 0 0 -inf\n"), "line 2: a vertex holds a number that is not finite"));
  CHECK(fails(std::string("v 1 2 3 4 5 6 7 8 9\n"), "more than 8 numbers"));
  CHECK(fails(kSquare, "holds no triangles"));
  CHECK(fails(kSquare + "f 1 2\n", "holds no triangles"));
}
