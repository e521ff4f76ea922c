// The gaps, steps and screws of a plan at the usual places of plates, and how its moves are reported to hold.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "casebook/case.h"
#include "surgery/plate_gap.h"
#include "surgery/stability.h"

namespace intercusp {

/// For each cut of the plan the usual places: Le Fort I both piriform rims and zygomatic buttresses, a split the outer
/// side at its front end, the chin on either side of the midline. `c` as with_cuts gives it. Places whose landmarks are
/// missing (NC and J of each side, contacts of the lower molars, Pog) or where no bone is found are left out.
std::vector<PlateGap> plate_gaps(const Case& c, const Plan* plan, const SegmentPoses& poses);

/// {"site_id","site","at","facing","gap_mm","step_mm","contact_mm2","screws":[{"segment":"fixed"|"moved","thickness_mm",
/// "tip_to_root_mm","path_to_root_mm"}],"tip_to_root_mm","remarks":[{"what","considered","source"}]}; what is not known
/// is null.
nlohmann::json plate_row(const PlateGap& gap);
/// {"move","rank","words","source","beyond_usual","usual"}
nlohmann::json stability_row(const StabilityNote& note);

/// The lowest landmark that goes with the chin's piece (Pog can lie above the cut); empty where none is placed.
std::string point_of_chin(const Case& c, const PointMap& points);
/// What the plan does, from the landmarks of teeth and chin at rest and where they stand.
PlanExtent extent_of(const Case& c, const SegmentPoses& poses);

}  // namespace intercusp
