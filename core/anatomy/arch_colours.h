#pragma once

#include "anatomy/arch_field.h"
#include "geometry/mesh.h"

namespace intercusp {

/// Paints enamel (cooler and slightly translucent-looking towards edges and cusp tips, warmer at the neck) and gum
/// (paler along the margin).
void paint_arch(Mesh& mesh, const ArchField& field);

}  // namespace intercusp
