#include "formats/text_cursor.h"

namespace intercusp {
namespace {

bool is_line_end(char c) {
  return c == '\n' || c == '\r';
}
bool is_gap(char c) {
  return c == ' ' || c == '\t' || c == '\v' || c == '\f';
}

}  // namespace

void TextCursor::pass_line_end() {
  if (*at_ == '\r' && at_ + 1 != end_ && at_[1] == '\n') ++at_;
  ++at_;
  ++line_;
}

std::string_view TextCursor::word() {
  const char* begin = at_;
  while (at_ != end_ && !is_gap(*at_) && !is_line_end(*at_)) ++at_;
  return {begin, static_cast<std::size_t>(at_ - begin)};
}

std::string_view TextCursor::next_word() {
  while (at_ != end_ && (is_gap(*at_) || is_line_end(*at_))) {
    if (is_line_end(*at_)) {
      pass_line_end();
    } else {
      ++at_;
    }
  }
  return word();
}

std::string_view TextCursor::next_word_on_line(bool joins) {
  for (;;) {
    while (at_ != end_ && is_gap(*at_)) ++at_;
    const bool carries_on = joins && at_ != end_ && *at_ == '\\' && at_ + 1 != end_ && is_line_end(at_[1]);
    if (!carries_on) break;
    ++at_;
    pass_line_end();
  }
  return word();
}

void TextCursor::skip_line() {
  while (at_ != end_ && !is_line_end(*at_)) ++at_;
  if (at_ != end_) pass_line_end();
}

bool same_word(std::string_view word, std::string_view lower) {
  if (word.size() != lower.size()) return false;
  for (std::size_t i = 0; i < word.size(); ++i) {
    const char c = word[i] >= 'A' && word[i] <= 'Z' ? static_cast<char>(word[i] + ('a' - 'A')) : word[i];
    if (c != lower[i]) return false;
  }
  return true;
}

}  // namespace intercusp
