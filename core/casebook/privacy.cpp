#include "casebook/privacy.h"

#include <cctype>
#include <vector>

namespace intercusp {

namespace {

bool digit(char ch) {
  return std::isdigit(static_cast<unsigned char>(ch)) != 0;
}

/// Runs of digits, and whether one separator . / - joins each to the next.
struct Run {
  std::string digits;
  bool joined = false;
};

std::vector<Run> digit_runs(const std::string& text) {
  std::vector<Run> runs;
  for (std::size_t i = 0; i < text.size();) {
    if (!digit(text[i])) {
      ++i;
      continue;
    }
    Run run;
    while (i < text.size() && digit(text[i])) run.digits += text[i++];
    run.joined = i + 1 < text.size() && (text[i] == '.' || text[i] == '/' || text[i] == '-') && digit(text[i + 1]);
    runs.push_back(run);
  }
  return runs;
}

bool between(const std::string& digits, int least, int most) {
  const int value = std::stoi(digits);
  return value >= least && value <= most;
}

bool year(const std::string& digits) {
  return digits.size() == 4 && between(digits, 1900, 2099);
}
bool short_number(const std::string& digits, int most) {
  return digits.size() <= 2 && between(digits, 1, most);
}

bool looks_like_date(const std::string& text) {
  const auto runs = digit_runs(text);
  for (std::size_t i = 0; i + 2 < runs.size(); ++i) {
    if (!runs[i].joined || !runs[i + 1].joined) continue;
    const std::string &a = runs[i].digits, &b = runs[i + 1].digits, &c = runs[i + 2].digits;
    const bool year_ends = short_number(a, 31) && short_number(b, 31) && (year(c) || c.size() == 2);
    const bool year_begins = year(a) && short_number(b, 12) && short_number(c, 31);
    if (year_ends || year_begins) return true;
  }
  for (const Run& run : runs) {
    if (run.digits.size() != 8) continue;
    const auto part = [&](std::size_t at, std::size_t n) { return run.digits.substr(at, n); };
    const bool year_first = year(part(0, 4)) && between(part(4, 2), 1, 12) && between(part(6, 2), 1, 31);
    const bool year_last = year(part(4, 4)) && between(part(0, 2), 1, 31) && between(part(2, 2), 1, 31);
    if (year_first || year_last) return true;
  }
  return false;
}

/// Words of letters only, at least two long, that begin with a capital and go on in small letters (bytes of letters
/// beyond ASCII count as letters).
int capitalised_words(const std::string& text) {
  int words = 0;
  for (std::size_t i = 0; i < text.size();) {
    std::string word;
    while (i < text.size() &&
           (std::isalpha(static_cast<unsigned char>(text[i])) || static_cast<unsigned char>(text[i]) >= 0x80)) {
      word += text[i++];
    }
    if (word.size() >= 2 && std::isupper(static_cast<unsigned char>(word[0])) &&
        !std::isupper(static_cast<unsigned char>(word[1])))
      ++words;
    if (word.empty()) ++i;
  }
  return words;
}

}  // namespace

std::optional<std::string> id_warning(const std::string& case_id) {
  if (looks_like_date(case_id)) {
    return "the case id \"" + case_id +
           "\" looks like a date of birth; whoever gets the file reads it. Choose an id that says nothing about the "
           "person";
  }
  if (capitalised_words(case_id) >= 2) {
    return "the case id \"" + case_id +
           "\" looks like a name; whoever gets the file reads it. Choose an id that says nothing about the person";
  }
  return std::nullopt;
}

}  // namespace intercusp
