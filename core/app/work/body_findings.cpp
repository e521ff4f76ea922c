#include "app/work/body_findings.h"

#include "geometry/mesh_check.h"

namespace intercusp {

const std::vector<std::string>& findings_of(const Workspace& w, const Body& body) {
  Workspace::FoundOnBody& kept = w.found[body.name];
  if (kept.surface != body.surface) kept = {body.surface, findings(check_mesh(body.surface->mesh()))};
  return kept.words;
}

}  // namespace intercusp
