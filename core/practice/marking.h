#pragma once

#include <string>

#include "base/result.h"
#include "practice/question.h"

namespace intercusp {

enum class Verdict { right, near, wrong };
const char* verdict_word(Verdict verdict);
/// For people, in words that are no side of the mouth: "Correct", "Nearly", "Not correct".
const char* shown_verdict(Verdict verdict, double credit);

/// An answer as it was understood.
struct PracticeAnswer {
  std::size_t choice = 0;  ///< index
  double number = 0;       ///< signed
  std::vector<int> teeth;  ///< ascending
  Vec3 at = Vec3::Zero();  ///< patient frame at rest
};

struct Mark {
  Verdict verdict = Verdict::wrong;
  double credit = 0;          ///< 0..1
  std::string seen, meant;    ///< what was answered, and what is true, in words
  std::string why;            ///< one or two sentences
  std::optional<double> off;  ///< number: answer minus truth; point: distance; mm
};

/// Reads an answer as it is typed. Choice: its number from 1, or its words. Number: "3.5", "2 right", "-1,5". Tooth:
/// "36". Teeth: "15, 16" or "none". Point: three numbers, mm in the patient frame. The Error says how to answer.
Result<PracticeAnswer> read_answer(const PracticeQuestion& question, const std::string& text);

/// The same answer as text that read_answer understands, and in words for people.
std::string answer_text(const PracticeQuestion& question, const PracticeAnswer& answer);
std::string answer_words(const PracticeQuestion& question, const PracticeAnswer& answer);

/// How to answer this question, for a prompt: "a number from 1 to 9", "mm, with the word left or right".
std::string how_to_answer(const PracticeQuestion& question);

Mark mark_answer(const PracticeQuestion& question, const PracticeAnswer& answer);

}  // namespace intercusp
