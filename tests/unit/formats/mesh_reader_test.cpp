#include "formats/mesh_reader.h"

#include "formats/expect.h"
#include "formats/mesh_writer.h"
#include "formats/sample_meshes.h"

using namespace intercusp;

TEST_CASE("the kind of file is seen from its content") {
  CHECK(import(write_stl(unit_cube())).value().format == "binary STL");
  CHECK(import(write_ply(unit_cube())).value().format == "PLY");
  CHECK(import(write_obj(unit_cube())).value().format == "OBJ");
  Bytes marked = {0xEF, 0xBB, 0xBF};
  for (const char c : std::string("\n v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3"))
    marked.push_back(static_cast<std::uint8_t>(c));
  CHECK(import(marked).value().format == "OBJ");
}

TEST_CASE("a file of another kind is named for what it is") {
  CHECK(fails(Bytes{}, "the file is empty"));
  CHECK(fails(write_glb(unit_cube()), "this is a case file (.glb), not a scan. Open it as a case"));
  CHECK(fails(std::string("\x89PNG\r\n\x1a\n"), "PNG picture"));
  CHECK(fails(std::string("\xFF\xD8\xFF\xE0"), "JPEG picture"));
  CHECK(fails(std::string("%PDF-1.7\n"), "PDF document"));
  CHECK(fails(std::string("PK\x03\x04"), "ZIP archive"));
  CHECK(fails(std::string("\x1F\x8B"), "gzip archive"));
  CHECK(fails(std::string(128, '\0') + "DICM", "DICOM file"));
  CHECK(fails(Bytes{0xFF, 0xFE, 'v', 0}, "UTF-16"));
  CHECK(fails(std::string("<!DOCTYPE html><html>"), "XML or HTML file"));
  CHECK(fails(std::string("{\"units\":\"mm\"}"), "JSON file"));
  CHECK(fails(std::string("Dear colleague, the scan follows."), "no mesh was found in this file"));
  CHECK(fails(Bytes(10, 0), "this is no mesh file that can be read"));
  CHECK(fails(Bytes(500, 0), "read as binary STL it promises 0 triangles, which take 84 bytes, but the file has 500"));
}
