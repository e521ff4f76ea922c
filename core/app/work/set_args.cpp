#include "app/work/set_args.h"

#include <cmath>

#include <nlohmann/json.hpp>

#include "base/json_read.h"

namespace intercusp {

const char* const kSetNumbersWords =
    "whole numbers: seed 1 to 999999999, count 1 to 100, difficulty 0 to 7, seconds 0 to 3600";

bool given_within(const nlohmann::json& args, const char* key, double low, double high) {
  const auto value = number_at(args, key);
  return !value || (*value >= low && *value <= high && std::floor(*value) == *value);
}

bool set_numbers_fit(const nlohmann::json& args) {
  return given_within(args, "seed", 1, 999999999) && given_within(args, "count", 1, kMostQuestions) &&
         given_within(args, "difficulty", 0, kHardest) && given_within(args, "seconds", 0, 3600);
}

Result<std::vector<QuestionKind>> kinds_from_args(const nlohmann::json& ids) {
  std::vector<QuestionKind> kinds;
  for (const nlohmann::json& id : ids.is_array() ? ids : nlohmann::json::array()) {
    const auto kind = id.is_string() ? kind_of(id.get<std::string>()) : std::nullopt;
    if (!kind) return Error{"there is no kind of question " + id.dump(), "practice", "see docs/practice.md"};
    kinds.push_back(*kind);
  }
  return kinds;
}

Result<QuestionSet> set_from_args(const nlohmann::json& args) {
  QuestionSet set;
  const auto number = [&args](const char* key, double otherwise) { return number_at(args, key).value_or(otherwise); };
  const double seed = number("seed", 1), count = number("count", 10), difficulty = number("difficulty", 0);
  const double seconds = number("seconds", 0);
  if (!set_numbers_fit(args))
    return Error{"seed, count, difficulty or seconds are out of range", "practice", kSetNumbersWords};
  set.seed = static_cast<unsigned>(seed);
  set.count = static_cast<int>(count);
  set.difficulty = static_cast<int>(difficulty);
  set.seconds = static_cast<int>(seconds);
  set.title = text_at(args, "title").value_or("");
  const auto tools = tools_of(text_at(args, "tools").value_or("model"));
  if (!tools) return Error{"there are no such tools", "practice", "use views, model or probe"};
  set.tools = *tools;
  const nlohmann::json* ids = member(args, "kinds");
  auto kinds = kinds_from_args(ids ? *ids : nlohmann::json::array());
  if (!kinds) return kinds.error();
  set.kinds = std::move(kinds).value();
  if (set.kinds.empty())
    for (const KindInfo& info : question_kinds()) set.kinds.push_back(info.kind);
  return set;
}

}  // namespace intercusp
