#include "cli/limits.h"

#include <limits>

#include <nlohmann/json.hpp>

#include "cli/case_access.h"
#include "occlusion/measure.h"

namespace intercusp::cli {

using nlohmann::json;

Result<Limit> parse_limit(const std::string& text) {
  const Error bad{"\"" + text + "\" is not a limit", "--limit", "write ID:MIN..MAX, for example overjet:1..4"};
  const std::size_t colon = text.find(':');
  const std::size_t dots = colon == std::string::npos ? colon : text.find("..", colon);
  if (dots == std::string::npos) return bad;
  const std::string low = text.substr(colon + 1, dots - colon - 1), high = text.substr(dots + 2);
  Limit limit{text.substr(0, colon), -std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
  const auto least = whole_number(low), most = whole_number(high);
  if ((!low.empty() && !least) || (!high.empty() && !most) || (low.empty() && high.empty())) return bad;
  if (least) limit.least = *least;
  if (most) limit.most = *most;
  if (limit.least > limit.most) return bad;
  if (!find_measure(limit.id))
    return Error{"there is no measure named " + limit.id, "--limit", "see docs/methods.md for the measures"};
  return limit;
}

Result<std::vector<std::string>> broken_limits(const std::vector<std::string>& limits, const json& report) {
  std::vector<std::string> broken;
  for (const std::string& text : limits) {
    const auto limit = parse_limit(text);
    if (!limit.ok()) return limit.error();
    const json* found = nullptr;
    for (const json& row : report["measures"]) {
      if (row["id"] == limit.value().id) found = &row;
    }
    if (!found) {
      broken.push_back(limit.value().id + " could not be measured");
      continue;
    }
    const double value = (*found)["value"].get<double>();
    if (value < limit.value().least || value > limit.value().most) {
      broken.push_back(limit.value().id + " is outside " + text.substr(text.find(':') + 1) + ": " +
                       (*found)["words"].get<std::string>());
    }
  }
  return broken;
}

}  // namespace intercusp::cli
