// What a student sends back: the answers to a set, signed with a key of the student's browser or program.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"

namespace intercusp {

/// What a student answered.
struct GivenAnswer {
  std::string text;    ///< as read_answer reads it; empty: not answered
  double seconds = 0;  ///< that it took; 0: not timed
};
struct SetResult {
  std::string by;                    ///< a label that the student chose; no account stands behind it
  std::vector<GivenAnswer> answers;  ///< in the order of the set
  std::string key;  ///< public half (Ed25519, 32 bytes) of the key that signed it; empty: it is not signed
};

/// A result as it was read. What belongs to the signature is empty where there is none; whoever can (native/review, the
/// page) checks it: nothing in this room knows how.
struct ReadResult {
  SetResult result;
  std::string signature;     ///< 64 bytes
  std::string signed_bytes;  ///< that it has to be a signature of
};

/// The bytes that the student's key signs: purpose, set and answers, so that a signature counts for nothing else.
std::string bytes_to_sign(const std::string& set_code, const SetResult& result);

/// A result as text; `key` and `signature` (bytes) empty: not signed. Its check sum covers the set's code, so that a
/// damaged result, or one of another set, is refused. The signature shows that nobody altered it and which results come
/// from one key. Neither proves who answered, nor that nobody helped: marks are made again from the answers by whoever
/// gathers.
std::string result_code(const std::string& set_code, const SetResult& result, const std::string& key = "",
                        const std::string& signature = "");
Result<ReadResult> read_result_code(const std::string& set_code, const std::string& text);

/// Whether a result code begins at this place of a text.
bool result_begins(const std::string& text, std::size_t at);

}  // namespace intercusp
