#pragma once

#include "anatomy/landmarks.h"
#include "geometry/mesh.h"

namespace intercusp {

/// Moves, for every landmark of the jaw that lies on the surface, the nearest vertex onto it, so that the mesh shows edges, tips
/// and grooves exactly where the landmarks are, whatever its density. Root apices are left out. O(landmarks x vertices).
void snap_to_landmarks(Mesh& mesh, const LandmarkSet& landmarks, Jaw jaw);

}  // namespace intercusp
