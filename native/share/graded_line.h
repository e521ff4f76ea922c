// Graded sets from the other side: made on a server, and their questions fetched from it (docs/review-protocol.md).
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "base/result.h"

namespace intercusp::share {

struct MadeGraded {
  std::string set, ticket;  ///< codes: the teacher's, the students'
  std::int64_t ends_ms = 0;
};
/// `server`: "https://host/". `set_code`: what the graded set is to be like.
Result<MadeGraded> make_graded(const std::string& server, const std::string& set_code, int days);

/// The bytes of a question, see read_shown_question. `at` from 0. A server that is busy is asked again, five
/// times within 10 s of waiting. Errors: no answer, or the server's words.
Result<std::vector<std::uint8_t>> graded_question(const std::string& server, const std::string& sealed, int at);

}  // namespace intercusp::share
