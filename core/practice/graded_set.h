// Graded sets: how their questions are made is known to the teacher and to the server that gives the questions out, and
// to nobody else. A student's link holds a ticket, which names the set to the server and says nothing about its
// questions.
#pragma once

#include <cstdint>
#include <string>

#include "base/result.h"
#include "practice/question_set.h"

namespace intercusp {

bool is_graded(const QuestionSet& set);

/// Of question `i` of a graded set: the first 52 bits of SHA-256 of its secret and the number, plus one.
std::uint64_t graded_seed(const QuestionSet& set, int i);

/// What stands in the results of a graded set instead of its code: SHA-256 of its secret, base64url. Nobody comes from
/// it to the secret.
std::string graded_name(const QuestionSet& set);

/// What a student's machine knows of a graded set.
struct GradedTicket {
  std::string title;  ///< at most 60 bytes; may be empty
  int count = 10;     ///< of questions
  int seconds = 0;    ///< for each question; 0: no limit
  PracticeTools tools = PracticeTools::model;
  std::string name;    ///< see graded_name
  std::string sealed;  ///< the set, for the server that sealed it alone; base64url
  int version = kPracticeVersion;
};
GradedTicket ticket_of(const QuestionSet& set, std::string sealed);

/// A ticket as text for a link, and back. Ends in a check sum, as the code of a set does.
std::string ticket_code(const GradedTicket& ticket);
bool is_ticket_code(const std::string& text);
Result<GradedTicket> read_ticket_code(const std::string& code);

}  // namespace intercusp
