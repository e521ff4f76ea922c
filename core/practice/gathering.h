// A class's results on one set.
#pragma once

#include <string>
#include <vector>

#include "practice/question_set.h"

namespace intercusp {

/// One student's row: a mark for every question; an unanswered or unreadable one counts as wrong.
struct MarkedResult {
  std::string by;
  std::vector<Mark> marks;
  std::vector<bool> read;       ///< whether there was an answer that could be read
  std::vector<double> seconds;  ///< that each answer took; 0: not timed
  double credit = 0;            ///< sum
};

struct QuestionSummary {
  std::size_t right = 0, near = 0, wrong = 0;
  std::string usual_wrong;  ///< the wrong answer given most often, in words; empty when there was none
};

struct GatheredSet {
  std::vector<PracticeQuestion> questions;
  std::vector<MarkedResult> results;
  std::vector<QuestionSummary> summaries;  ///< one a question
};

/// Marks results again from their answers. `questions` are those of the set.
GatheredSet gather(std::vector<PracticeQuestion> questions, const std::vector<SetResult>& results);

/// One line a student and question: by, question, kind, seed, difficulty, answer, truth, verdict, credit, seconds.
std::string gathered_csv(const GatheredSet& gathered);
/// How many were right at each question with the usual wrong answer, and the students with their credits.
std::string gathered_text(const GatheredSet& gathered);

}  // namespace intercusp
