#include "app/work/surface_notes.h"

#include "geometry/mesh_check.h"

namespace intercusp {

void keep_notes(Workspace& w, const SurfacePtr& surface, SurfaceNotes notes) {
  for (auto it = w.surface_notes.begin(); it != w.surface_notes.end();)
    it = it->first.use_count() == 1 ? w.surface_notes.erase(it) : std::next(it);
  w.surface_notes[surface] = std::move(notes);
}

const std::vector<std::string>& findings_of(const Workspace& w, const Body& body) {
  const auto [there, fresh] = w.surface_notes.try_emplace(body.surface);
  if (fresh) there->second.findings = findings(check_mesh(body.surface->mesh()));
  return there->second.findings;
}

SurfaceLookPtr look_of(const Workspace& w, const SurfacePtr& surface) {
  const auto there = w.surface_notes.find(surface);
  return there == w.surface_notes.end() ? nullptr : there->second.look;
}

}  // namespace intercusp
