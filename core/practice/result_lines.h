// The results of a class as they come in: many codes in one text, one a line, some of them bad.
#pragma once

#include <string>
#include <vector>

#include "practice/set_result.h"

namespace intercusp {

constexpr std::size_t kMostResults = 2000;  ///< of one text

/// A code that counts for nothing, and why; the others are left alone.
struct LineTrouble {
  std::size_t line = 0;  ///< from 1
  std::string by;        ///< as far as it could be read
  Error error;
};

struct ResultLines {
  std::vector<ReadResult> results;
  std::vector<std::size_t> lines;  ///< of each result, from 1
  std::vector<LineTrouble> troubles;
  std::size_t repeated = 0;      ///< codes that stand there once more, letter for letter
  std::size_t without_code = 0;  ///< lines with words but no code
};

/// Reads every code of a text; what stands before and behind one on its line does not matter. O(n log n).
ResultLines read_result_lines(const std::string& set_code, const std::string& text);

/// Takes a result out that was altered after it was signed. `i`: index into results.
void refuse_signature(ResultLines& lines, std::size_t i);

/// "line 4 (A. Student): the code is damaged, or of another set"
std::string trouble_words(const LineTrouble& trouble);

}  // namespace intercusp
