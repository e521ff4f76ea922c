// Finds where an upper arch in pieces seats best on the lower one.
#pragma once

#include "occlusion/pieced_arch.h"

namespace intercusp {

/// The places in which the pieces and the lower arch seat, best first; those whose pieces are all nearer to each other
/// than 0.5 mm are one. The lower arch stays. First the arch in one piece is seated (see settle), then each piece by
/// itself from there, from where it stands and from its own landmarks; of what the pieces found, the sets that seat
/// most and strain the ties least (see PieceTies) are settled together. Deterministic. Error: fewer than two pieces, a
/// scan or landmark is missing, an unknown pin, nothing seats, cancelled. About twice the time of `settle`.
Result<std::vector<SettleSolution>> settle_pieces(const PiecedArch& arch, const SettleSettings& settings,
                                                  const Progress& progress = Progress());

}  // namespace intercusp
