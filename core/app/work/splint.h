#pragma once

#include <nlohmann/json_fwd.hpp>

#include "app/work/workspace.h"

namespace intercusp {

/// What a splint that was made is to the plan and the settings as they stand now.
enum class SplintAge { current, other_settings, other_plan };
SplintAge age_of(const Workspace& w, const MadeSplint& made);

/// The splint that the views show with the arches as it holds them; null away from its stop and where none was made.
const MadeSplint* shown_splint(const Workspace& w);

constexpr double kThicknessMapMm = 4;  ///< at which the colours of the wall thickness end

/// Whether anybody must look before it is printed: it does not seat, or is thin somewhere.
bool splint_asks_for_a_look(const MadeSplint& made);

/// The order as the page's scripts give and read it.
nlohmann::json splint_order_json(const SplintOrder& order);

/// For state(): the order, what was made, whether it is current, and the last refusal.
nlohmann::json splint_json(const Workspace& w);

}  // namespace intercusp
