// Sets of questions as text for a link, and what students send back.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "practice/marking.h"

namespace intercusp {

/// What a student may use.
enum class PracticeTools { views, model, probe };
const char* tools_id(PracticeTools tools);
const char* tools_words(PracticeTools tools);
std::optional<PracticeTools> tools_of(const std::string& id);

constexpr int kMostQuestions = 100;  ///< of a set

/// A set as a teacher makes it.
struct QuestionSet {
  std::string title;  ///< at most 60 letters; may be empty
  unsigned seed = 1;
  int count = 10;                   ///< 1 to kMostQuestions
  std::vector<QuestionKind> kinds;  ///< asked in turn
  int difficulty = 0;               ///< 0: rising from 2 to 6
  int seconds = 0;                  ///< for each question; 0: no limit
  PracticeTools tools = PracticeTools::model;
};

/// The questions of a set, in order. The same on every platform and for as long as kPracticeVersion stands.
std::vector<QuestionSpec> questions_of(const QuestionSet& set);

/// A set as text of letters, digits, '-', '_' and '.', for a link's fragment or a message. Ends in a check sum, so that
/// a damaged code is noticed.
std::string set_code(const QuestionSet& set);
Result<QuestionSet> read_set_code(const std::string& code);

/// What a student answered.
struct GivenAnswer {
  std::string text;    ///< as read_answer reads it; empty: not answered
  double seconds = 0;  ///< that it took; 0: not timed
};
struct SetResult {
  std::string by;                    ///< a label that the student chose; no account stands behind it
  std::vector<GivenAnswer> answers;  ///< in the order of the set
};

/// A result as text. Its check sum covers the set's code, so that a result of another set, or a damaged one, is
/// refused. It does not prove who answered, nor that nobody helped: marks are made again from the answers by whoever
/// gathers.
std::string result_code(const std::string& code, const SetResult& result);
Result<SetResult> read_result_code(const std::string& code, const std::string& result);

}  // namespace intercusp
