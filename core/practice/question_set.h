// Sets of questions as text for a link.
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
  std::string title;  ///< at most 60 bytes; may be empty
  unsigned seed = 1;
  int count = 10;                   ///< 1 to kMostQuestions
  std::vector<QuestionKind> kinds;  ///< asked in turn
  int difficulty = 0;               ///< 0: rising from 2 to 6
  int seconds = 0;                  ///< for each question; 0: no limit
  PracticeTools tools = PracticeTools::model;
  int version = kPracticeVersion;
  std::string secret;  ///< of a graded set (see graded_set.h): 32 bytes that its questions are drawn from; else empty
};

/// The questions of a set, in order; those of a graded set cannot be guessed without its secret. The same on every
/// platform, and after an update, by the set's version.
std::vector<QuestionSpec> questions_of(const QuestionSet& set);

/// A set as text of letters, digits, '-', '_' and '.', for a link's fragment or a message. Ends in a check sum, so that
/// a damaged code is noticed.
std::string set_code(const QuestionSet& set);
bool is_set_code(const std::string& text);  ///< by how it begins
Result<QuestionSet> read_set_code(const std::string& code);

}  // namespace intercusp
