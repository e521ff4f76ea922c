// A question of a graded set as it leaves the server: what is asked and the surfaces to look at, without its key.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "practice/question.h"

namespace intercusp {

/// From which side the thing asked about is seen: right, left, front, upper or lower.
std::string side_to_look_from(const PracticeQuestion& question);
/// Where what is meant is seen best, once it is answered: of a crossbite the side with more crossed teeth, of what
/// is in the way the side that it is on. Empty: from where it was asked.
std::string side_to_see_why(const PracticeQuestion& question);

/// The case without whatever says more than its surfaces do: no landmarks, plans, roots or texts, and vertices and
/// triangles in the order of their places, which tells nothing of how they came about. O(n log n).
Case surfaces_alone(const Case& c);

struct ShownQuestion {
  PracticeQuestion question;  ///< without a key; its seed is its number in the set, from 1
  std::string look_from;      ///< see side_to_look_from
  Case shown;
};

/// The bytes of a question to look at and to answer, and nothing to mark it by: text as JSON behind its length (4
/// bytes, little-endian), then the case as a file. `number`: in its set, from 0. Costs what case_of does. Error as
/// there.
Result<std::vector<std::uint8_t>> write_shown_question(const MadeQuestion& made, int number, std::uint32_t triangles);
/// Reads them. Errors say what is wrong. Memory is bounded by the input's size.
Result<ShownQuestion> read_shown_question(const std::uint8_t* bytes, std::size_t size);

}  // namespace intercusp
