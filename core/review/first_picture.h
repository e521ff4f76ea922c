// A coarse form of each large body of a shared case, which is there long before the whole: the first picture of who
// opens a link.
#pragma once

#include <optional>

#include <nlohmann/json.hpp>

#include "casebook/case.h"

namespace intercusp {

/// The body with few triangles, for looking at until it is here whole; nothing for one that is small itself.
/// O(vertices).
std::optional<Body> coarse_body(const Body& body);

/// The stored things of a case as the beginning names them, from a list in which the coarse forms stand on their own
/// ("coarse": true): each becomes "coarse" of the body of its name.
nlohmann::json with_coarse_forms(const nlohmann::json& stored);

}  // namespace intercusp
