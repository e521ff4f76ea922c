// What is found out about a finished splint: how thick it is, and how each arch seats in it.
#pragma once

#include "surgery/splint.h"

namespace intercusp {

/// Fills thickness, thin places, volume and, where that is asked for, both seats of `out`, whose mesh is in the
/// splint's own frame. Stops early when cancelled.
void check_splint(const SplintParts& parts, const SplintSettings& settings, const Progress& progress, Splint& out);

/// How an arch in its place (own frame, both) seats in a splint, by sweeps: along its way off and back, and how far it
/// rocks. `off`: unit direction in which it comes off; `middle`: about which it is turned. Twelve sweeps.
void sweep_seat(const Surface& splint, const Surface& arch, const Vec3& off, const Vec3& middle, SplintSeat& seat);

}  // namespace intercusp
