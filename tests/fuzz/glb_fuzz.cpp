#include "formats/glb.h"

#include "import_promises.h"

using namespace intercusp;

namespace {

void require_meshes_sound(const GlbDocument& document) {
  for (int i = 0; i < 4; ++i) {
    const Result<Mesh> mesh = read_gltf_mesh(document, i);
    if (!mesh) {
      FUZZ_REQUIRE(!mesh.error().what.empty() && !mesh.error().where.empty() && !mesh.error().remedy.empty());
      continue;
    }
    require_sound(mesh.value());
    GlbDocument copy;
    if (append_mesh(copy, mesh.value(), -1) < 0) continue;
    const Result<Mesh> again = read_gltf_mesh(copy, 0);
    FUZZ_REQUIRE(again.ok() && again.value().triangles == mesh.value().triangles);
    FUZZ_REQUIRE(again.value().colours == mesh.value().colours);
  }
}

void require_round_trip(const GlbDocument& document) {
  const std::vector<std::uint8_t> written = serialize_glb(document);
  const Result<GlbDocument> again = parse_glb(written.data(), written.size());
  FUZZ_REQUIRE(again.ok() && again.value().bin == document.bin);
}

// The JSON text as the fuzzer gives it, in a container that fits, with a fixed binary part: so that mutations reach
// the accessors instead of failing at the lengths of the container.
std::vector<std::uint8_t> in_fitting_container(const std::uint8_t* json, std::size_t size) {
  GlbDocument shell;
  shell.bin.assign(256, 0);
  for (std::size_t i = 0; i < shell.bin.size(); i += 4) shell.bin[i] = static_cast<std::uint8_t>(i / 4 % 4);
  shell.json = nlohmann::json::object();
  std::vector<std::uint8_t> bytes = serialize_glb(shell);
  std::vector<std::uint8_t> bin_chunk(bytes.end() - 264, bytes.end());
  bytes.resize(20);
  bytes.insert(bytes.end(), json, json + size);
  bytes.insert(bytes.end(), (4 - size % 4) % 4, ' ');
  const auto put = [&bytes](std::size_t at, std::size_t value) {
    for (std::size_t i = 0; i < 4; ++i) bytes[at + i] = static_cast<std::uint8_t>(value >> (8 * i));
  };
  put(12, bytes.size() - 20);
  bytes.insert(bytes.end(), bin_chunk.begin(), bin_chunk.end());
  put(8, bytes.size());
  return bytes;
}

void require_promises(const std::uint8_t* data, std::size_t size) {
  const Result<GlbDocument> parsed = parse_glb(data, size);
  if (!parsed) {
    FUZZ_REQUIRE(!parsed.error().what.empty() && !parsed.error().where.empty() && !parsed.error().remedy.empty());
    return;
  }
  require_meshes_sound(parsed.value());
  require_round_trip(parsed.value());
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  require_promises(data, size);
  const std::vector<std::uint8_t> fitting = in_fitting_container(data, size);
  require_promises(fitting.data(), fitting.size());
  return 0;
}
