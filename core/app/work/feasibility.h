#pragma once

#include <string>
#include <vector>

#include "app/work/workspace.h"

namespace intercusp {

/// The pages of the clearance stop: what is in the way, the bone after removal, where plates go.
const char* clearance_page_name(ClearancePage page);

/// How the plan's moves are reported to hold, whatever position is shown; empty without a plan that can be computed.
std::vector<StabilityNote> plan_stability(const Workspace& w);

/// The surface of a body as it is drawn: cut back while the removal is shown.
const SurfacePtr& drawn_surface(const Workspace& w, const Body& body);

/// Asks for what the clearance stop shows beside contacts, where it is not known yet.
void bring_up_plates(Workspace& w);
void bring_up_way(Workspace& w);
/// What the way that is shown has to be of.
WayKey way_key(const Workspace& w);

/// Looks at a plate site from where its screws go in.
void look_at_plate(Workspace& w, const PlateGap& gap);

/// Nothing stands against a plate there: no remark, and no bone that has to come off first.
bool plate_fits(const PlateGap& gap);
/// "gap 0.4 mm", "overlap 2.3 mm", "nothing opposite"
std::string plate_gap_words(const PlateGap& gap);
/// "step 5.0 mm out", "no step"
std::string plate_step_words(const PlateGap& gap);

/// Where a screw stands against the cut: "above", "below", "behind", "in front".
const char* screw_side(const PlateGap& gap, bool reference);

nlohmann::json removal_json(const Workspace& w);

}  // namespace intercusp
