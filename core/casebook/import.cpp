#include "casebook/import.h"

#include "base/sha256.h"
#include "formats/mesh_reader.h"
#include "formats/units.h"
#include "geometry/mesh_check.h"

namespace intercusp {

namespace {

/// Scale to millimetres. Only arches have a size that tells the unit; a bone surface can be of any size.
Result<double> scale_for(const Mesh& mesh, const ScanFile& file, const std::string& units) {
  if (!units.empty()) {
    if (const auto factor = factor_to_mm(units)) return *factor;
    return Error{"\"" + units + "\" is not a unit that is known here", file.display_name, "use mm, cm, m or inch"};
  }
  const UnitGuess guess = guess_units(bounds(mesh).sizes().maxCoeff());
  const bool arch = file.body.find("arch") != std::string::npos;
  if (guess.certainly_mm || !arch) return 1.0;
  return Error{guess.sentence, file.display_name, "say which unit it is (mm, cm, m or inch)"};
}

}  // namespace

Result<ImportedBody> import_body(const ScanFile& file, const std::string& units) {
  auto read = read_mesh(file.bytes.data(), file.bytes.size(), file.display_name);
  if (!read.ok()) return read.error();
  ImportedMesh imported = std::move(read).value();
  const auto scale = scale_for(imported.mesh, file, units);
  if (!scale.ok()) return scale.error();
  if (scale.value() != 1.0) {
    for (Vec3f& p : imported.mesh.positions) p = (p.cast<double>() * scale.value()).cast<float>();
  }
  std::vector<std::string> notes = imported.notes.sentences();
  for (std::string& words : findings(check_mesh(imported.mesh))) notes.push_back(std::move(words));
  return ImportedBody{make_body(file.body, Surface::make(std::move(imported.mesh))), std::move(notes)};
}

std::string neutral_case_id(const std::vector<Body>& bodies) {
  Sha256 sha;
  for (const Body& body : bodies) sha.add(body.mesh_sha256.data(), body.mesh_sha256.size());
  return "case-" + sha.hex().substr(0, 6);
}

}  // namespace intercusp
