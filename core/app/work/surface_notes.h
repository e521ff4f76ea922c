#pragma once

#include "app/work/workspace.h"

namespace intercusp {

/// Keeps what an errand has worked out about a surface, and lets go of what belongs to surfaces that nobody else holds.
void keep_notes(Workspace& w, const SurfacePtr& surface, SurfaceNotes notes);

/// What is wrong with a body's surface or worth knowing about it, in sentences. O(n) when nobody has worked it out yet.
const std::vector<std::string>& findings_of(const Workspace& w, const Body& body);

/// How a surface is drawn; empty when nobody has worked it out yet.
SurfaceLookPtr look_of(const Workspace& w, const SurfacePtr& surface);

}  // namespace intercusp
