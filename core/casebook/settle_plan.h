// `settle` for a case: the positions in which the arches seat, as movements that a plan can hold.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "casebook/case.h"
#include "occlusion/settle.h"

namespace intercusp {

/// A position to choose and the plan entry that leads to it.
struct SettleOffer {
  SettleSolution solution;
  PlanEntry entry;
};

/// The segment that carries the teeth of a jaw ("upper" or "lower"): of an upper jaw that is sawn off, the maxilla.
std::string segment_with_teeth(const Case& in_pieces, const std::string& jaw);

/// The offers from where the segments stand at the end of the plan (at rest without one), best first. `segment` carries
/// all teeth of its jaw; `c` has the plan's cuts made. Error: the segment cannot move, or as `settle`.
Result<std::vector<SettleOffer>> settle_offers(const Case& c, const Plan* plan, const std::string& segment,
                                               const SettleSettings& settings, const Progress& progress = Progress());

/// {"case","plan","moving","chosen","solutions":[{"movement","measures","quarters","contacts","area_mm2","deepest_mm",
/// "seated_share","cost":{...}}]}; see docs/settle.md.
nlohmann::json settle_report(const Case& c, const std::string& plan, const std::string& segment,
                             const std::vector<SettleOffer>& offers, std::size_t chosen);

}  // namespace intercusp
