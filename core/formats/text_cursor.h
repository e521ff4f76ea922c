#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>

namespace intercusp {

/// Walks through text in memory word by word and counts lines from 1; lines end with LF, CR LF or CR.
class TextCursor {
 public:
  TextCursor(const std::uint8_t* bytes, std::size_t size)
      : at_(reinterpret_cast<const char*>(bytes)), begin_(at_), end_(at_ + size) {}

  /// The next word, over line ends; empty at the end of the text.
  std::string_view next_word();
  /// The next word of this line; empty at its end. With `joins`, a backslash before the line end carries the line on.
  std::string_view next_word_on_line(bool joins = false);
  /// Goes to the start of the next line.
  void skip_line();

  bool at_end() const { return at_ == end_; }
  std::size_t line() const { return line_; }
  std::size_t byte() const { return static_cast<std::size_t>(at_ - begin_); }
  std::size_t left() const { return static_cast<std::size_t>(end_ - at_); }

 private:
  void pass_line_end();
  std::string_view word();

  const char* at_;
  const char* begin_;
  const char* end_;
  std::size_t line_ = 1;
};

/// ASCII comparison that ignores case; `lower` is in lower case.
bool same_word(std::string_view word, std::string_view lower);

}  // namespace intercusp
