// What each kind of entry holds besides who and when.
#pragma once

#include <string>

#include <nlohmann/json_fwd.hpp>

#include "base/result.h"
#include "casebook/case.h"

namespace intercusp {

bool is_hex_digest(const std::string& text);

/// Checks the fields of a kind; one that is not known passes. The Error's `where` is the field.
Status check_fields(const std::string& action, const nlohmann::json& body);

/// A plan as an entry holds it: {"entries","first_jaw"}; null where it is taken away.
nlohmann::json plan_value(const Plan& plan);
/// The inverse, under a name. Error for what check_fields refuses.
Result<Plan> plan_from_value(const nlohmann::json& value, const std::string& name);

/// A landmark as an entry holds it: {"at","confirmed"} and, where known, "origin" and "confidence"; null where it is
/// taken away.
nlohmann::json landmark_value(const Landmark& landmark);
Result<Landmark> landmark_from_value(const nlohmann::json& value, const std::string& name);

/// patient <- scan as three rows of four numbers.
nlohmann::json frame_value(const Case& c);
Result<Pose> frame_from_value(const nlohmann::json& rows);

}  // namespace intercusp
