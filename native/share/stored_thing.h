#pragma once

#include <functional>
#include <string>

#include <nlohmann/json_fwd.hpp>

#include "base/result.h"
#include "review/review_link.h"

namespace intercusp::share {

/// The bytes of a stored thing ({"name", "pieces", "length", "sha256"}), piece by piece from `sealed_piece(name)`.
/// `got` hears how many bytes each piece had, and says whether to go on. Errors: a piece's own; what comes is not what
/// was shared.
Result<std::string> stored_thing(const secrets::ReviewKeys& keys, const std::string& folder,
                                 const nlohmann::json& thing,
                                 const std::function<Result<std::string>(const std::string&)>& sealed_piece,
                                 const std::function<bool(std::size_t)>& got);

}  // namespace intercusp::share
