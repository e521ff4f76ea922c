// What the practice command was asked for, and the part of it that is a teacher's: sets for a class, and their results.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "practice/question_set.h"

namespace intercusp::cli {

struct PracticeOptions {
  unsigned seed = 1;
  int count = 10, difficulty = 0, seconds = 0;
  std::vector<std::string> kinds;
  std::string set, answers, pictures, progress, by, gather, landmarks, cases, title, tools = "model", format = "text";
  std::string inbox, graded;
  bool make_set = false, list = false, send = false, fetch = false;
  int days = 30;
  std::optional<long> day;
};

/// The set that the options describe. Error where they name a kind of question that there is not.
Result<QuestionSet> set_from(const PracticeOptions& o);

/// Prints the code or the link of a set made of the options. Returns the exit code.
int make_a_set(const PracticeOptions& o);
/// Marks the results of a class, of a file or of the inbox, and prints them. Returns the exit code.
int gather_results(const PracticeOptions& o);

}  // namespace intercusp::cli
