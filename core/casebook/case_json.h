// The JSON part of a case: everything but the meshes. Shared by the case file, the recipe link and the digest.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "casebook/case.h"

namespace intercusp {

/// The case document as it stands in the file's extras (docs/case-file.md), without what was kept from unknown fields.
nlohmann::json case_to_json(const Case& c);

/// Reads the document into a case whose bodies are already there. Errors name the key.
Status case_from_json(const nlohmann::json& document, Case& c);

/// {"forward_mm","up_mm","left_mm","pitch_deg","roll_deg","yaw_deg"}.
nlohmann::json movement_to_json(const Movement& movement);

/// A rigid transform as three rows of four numbers, as the file holds it.
nlohmann::json pose_to_json(const Pose& pose);

nlohmann::json plans_to_json(const std::vector<Plan>& plans);
Result<std::vector<Plan>> plans_from_json(const nlohmann::json& document);

nlohmann::json landmarks_to_json(const LandmarkSet& landmarks);
Result<LandmarkSet> landmarks_from_json(const nlohmann::json& document);

/// What `original` holds that `known` does not write, so that it can be put back: unknown members of objects, and those
/// of objects inside arrays whose elements carry a "name".
nlohmann::json unknown_fields(const nlohmann::json& original, const nlohmann::json& known);

/// Puts kept unknown fields back into a freshly written document, where their place still exists.
void restore_unknown_fields(nlohmann::json& document, const nlohmann::json& kept);

}  // namespace intercusp
