// For formats_check.py: writes a known mesh in every format, or tells what was read from a file of another program.
//   formats_program write FOLDER
//   formats_program read FILE
#include <cstdio>
#include <fstream>
#include <iterator>
#include <string>

#include "formats/mesh_reader.h"
#include "formats/mesh_writer.h"
#include "formats/sample_meshes.h"

using namespace intercusp;

namespace {

Mesh coloured_torus() {
  Mesh mesh = torus(60, 30);
  for (std::size_t v = 0; v < mesh.positions.size(); ++v) {
    mesh.colours.push_back({static_cast<std::uint8_t>(v), static_cast<std::uint8_t>(v / 7),
                            static_cast<std::uint8_t>(255 - v % 256), static_cast<std::uint8_t>(100 + v % 100)});
  }
  return mesh;
}

bool save(const std::string& path, const std::vector<std::uint8_t>& bytes) {
  std::ofstream file(path, std::ios::binary);
  file.write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
  return file.good();
}

int write_all(const std::string& folder) {
  const Mesh mesh = coloured_torus();
  const bool saved = save(folder + "/mesh.stl", write_stl(mesh)) && save(folder + "/mesh.ply", write_ply(mesh)) &&
                     save(folder + "/mesh.obj", write_obj(mesh)) && save(folder + "/mesh.glb", write_glb(mesh));
  for (std::size_t v = 0; v < mesh.positions.size(); ++v) {
    const Vec3 p = mesh.positions[v].cast<double>();
    const Colour& c = mesh.colours[v];
    std::printf("v %.17g %.17g %.17g %d %d %d %d\n", p.x(), p.y(), p.z(), c[0], c[1], c[2], c[3]);
  }
  for (const Triangle& t : mesh.triangles) std::printf("t %u %u %u\n", t[0], t[1], t[2]);
  return saved ? 0 : 1;
}

int read_one(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  const std::vector<char> bytes{std::istreambuf_iterator<char>(file), {}};
  const auto read = read_mesh(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size(), path);
  if (!read) {
    std::fprintf(stderr, "%s\n", read.error().sentence().c_str());
    return 2;
  }
  const Mesh& mesh = read.value().mesh;
  std::printf("%zu %zu %zu %.9g %.9g %s\n", mesh.positions.size(), mesh.triangles.size(), mesh.colours.size(),
              signed_volume(mesh), surface_area(mesh), read.value().format.c_str());
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  const std::string mode = argc == 3 ? argv[1] : "";
  if (mode == "write") return write_all(argv[2]);
  if (mode == "read") return read_one(argv[2]);
  std::fprintf(stderr, "usage: formats_program write FOLDER | read FILE\n");
  return 2;
}
