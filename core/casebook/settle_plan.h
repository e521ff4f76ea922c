// `settle` for a case: the positions in which the arches seat, as movements that a plan can hold.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "casebook/case.h"
#include "occlusion/settle.h"

namespace intercusp {

/// A position to choose and the plan entries that lead to it: one for a jaw that moves as one; for an upper jaw in
/// pieces one for all of it and then one for each piece, against the others.
struct SettleOffer {
  SettleSolution solution;
  std::vector<PlanEntry> entries;
};

/// The segment that carries the teeth of a jaw ("upper" or "lower"): of an upper jaw that is sawn off, the maxilla.
std::string segment_with_teeth(const Case& in_pieces, const std::string& jaw);

/// The pieces of the upper jaw that carry teeth, by their segments; empty while it is one.
std::vector<std::string> upper_pieces(const Case& in_pieces);

/// What moves to seat the arches.
struct SettleMoving {
  std::string segment;     ///< carries all teeth of its jaw, see segment_with_teeth
  bool in_pieces = false;  ///< of the upper jaw: each of its pieces by itself
};

/// The offers from where the segments stand at the end of the plan (at rest without one), best first. `c` has the
/// plan's cuts made. The pieces of an upper jaw that moves as one, or not at all, count as one arch where they stand.
/// Applying an offer's entries gives the solution's poses to 1e-9 mm. Error: the segment cannot move, or as `settle`
/// and `settle_pieces`.
Result<std::vector<SettleOffer>> settle_offers(const Case& c, const Plan* plan, const SettleMoving& moving,
                                               const SettleSettings& settings, const Progress& progress = Progress());

/// {"case","plan","moving","pieces","chosen","solutions":[{"movement","measures","quarters","contacts","area_mm2",
/// "deepest_mm","seated_share","cost":{...}}]}, of pieces also "pieces","cuts","expansion"; see docs/settle.md.
nlohmann::json settle_report(const Case& c, const std::string& plan, const SettleMoving& moving,
                             const std::vector<SettleOffer>& offers, std::size_t chosen);

}  // namespace intercusp
