// A class's results on one set.
#pragma once

#include <string>
#include <vector>

#include "practice/marking.h"
#include "practice/set_result.h"

namespace intercusp {

/// One student's row: a mark for every question; an unanswered or unreadable one counts as wrong.
struct MarkedResult {
  std::string by;
  std::string key;  ///< that signed it, see SetResult
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

/// How the table names the key of a result: its fingerprint, or "unsigned".
std::string signer_words(const MarkedResult& result);
/// Where one key signed more than one result: the numbers of those rows, from 1. They come from one browser or program.
std::vector<std::vector<std::size_t>> rows_of_one_hand(const GatheredSet& gathered);
/// "rows 2 and 5 (A. Student, B. Student) were signed with one key, 3f2a ...: they come from one browser or program"
std::vector<std::string> one_hand_words(const GatheredSet& gathered);

/// One line a student and question: by, question, kind, seed, difficulty, answer, truth, verdict, credit, seconds, key.
std::string gathered_csv(const GatheredSet& gathered);
/// How many were right at each question with the usual wrong answer, and the students with their credits.
std::string gathered_text(const GatheredSet& gathered);

}  // namespace intercusp
