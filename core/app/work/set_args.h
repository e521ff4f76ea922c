#pragma once

#include <nlohmann/json_fwd.hpp>

#include "base/result.h"
#include "practice/question_set.h"

namespace intercusp {

/// A set of questions from a command's arguments (`seed`, `count`, `kinds`, `difficulty`, `seconds`, `tools`, `title`);
/// what is not said is what a student practises by default. Error when something is out of range.
Result<QuestionSet> set_from_args(const nlohmann::json& args);

/// Whether a number that was given, if one was, is whole and within limits.
bool given_within(const nlohmann::json& args, const char* key, double low, double high);
/// The same of all numbers that a set takes; what they may be, in words.
bool set_numbers_fit(const nlohmann::json& args);
extern const char* const kSetNumbersWords;

/// The kinds that a list of ids names. Error when one is none.
Result<std::vector<QuestionKind>> kinds_from_args(const nlohmann::json& ids);

}  // namespace intercusp
