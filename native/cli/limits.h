#pragma once

#include <string>
#include <vector>

#include <CLI/CLI.hpp>
#include <nlohmann/json_fwd.hpp>

#include "base/result.h"

namespace intercusp::cli {

/// A range that a value is asked to lie in: `ID:MIN..MAX`, where either end may be left out.
struct Limit {
  std::string id;
  double least, most;
};

Result<Limit> parse_limit(const std::string& text);

/// Which limits the measures of a report break, each in words; a measure that could not be taken breaks its limit.
Result<std::vector<std::string>> broken_limits(const std::vector<std::string>& limits, const nlohmann::json& report);

}  // namespace intercusp::cli
