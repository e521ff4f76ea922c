#pragma once

#include <nlohmann/json_fwd.hpp>

#include "base/result.h"
#include "practice/question_set.h"

namespace intercusp {

/// A set of questions from a command's arguments (`seed`, `count`, `kinds`, `difficulty`, `seconds`, `tools`, `title`);
/// what is not said is what a student practises by default. Error when something is out of range.
Result<QuestionSet> set_from_args(const nlohmann::json& args);

/// The kinds that a list of ids names. Error when one is none.
Result<std::vector<QuestionKind>> kinds_from_args(const nlohmann::json& ids);

}  // namespace intercusp
