#include "practice/result_lines.h"

#include <algorithm>
#include <set>

namespace intercusp {

namespace {

bool in_a_code(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_' || c == '.';
}

/// The codes of one line. Some full stop behind a code is of the sentence around it.
std::vector<std::string> codes_in(const std::string& line) {
  std::vector<std::string> codes;
  for (std::size_t at = 0; at < line.size(); ++at) {
    if (!result_begins(line, at)) continue;
    std::size_t end = at;
    while (end < line.size() && in_a_code(line[end])) ++end;
    std::size_t last = end;
    while (last > at && line[last - 1] == '.') --last;
    codes.push_back(line.substr(at, last - at));
    at = end;
  }
  return codes;
}

class LineReading {
 public:
  explicit LineReading(const std::string& set_code) : set_code_(set_code) {}

  void take(const std::string& line) {
    ++number_;
    const std::vector<std::string> codes = codes_in(line);
    const std::size_t letter = line.find_first_not_of(" \t\r");
    if (codes.empty() && letter != std::string::npos && line[letter] != '#') ++out_.without_code;
    for (const std::string& code : codes) take_code(code);
  }
  ResultLines finished() { return std::move(out_); }

 private:
  void take_code(const std::string& code) {
    auto read = read_result_code(set_code_, code);
    if (!read) return out_.troubles.push_back({number_, "", read.error()});
    if (!seen_.insert(code).second) {
      ++out_.repeated;
    } else if (out_.results.size() >= kMostResults) {
      out_.troubles.push_back(
          {number_,
           read.value().result.by,
           {"there are more than " + std::to_string(kMostResults) + " results", "", "gather them in several parts"}});
    } else {
      out_.results.push_back(std::move(read).value());
      out_.lines.push_back(number_);
    }
  }

  const std::string& set_code_;
  ResultLines out_;
  std::set<std::string> seen_;
  std::size_t number_ = 0;
};

}  // namespace

ResultLines read_result_lines(const std::string& set_code, const std::string& text) {
  LineReading reading(set_code);
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    reading.take(text.substr(at, end - at));
    at = end + 1;
  }
  return reading.finished();
}

void refuse_signature(ResultLines& lines, std::size_t i) {
  const auto at = static_cast<std::ptrdiff_t>(i);
  lines.troubles.push_back(
      {lines.lines[i],
       lines.results[i].result.by,
       {"the signature does not fit: it was altered after it was signed", "", "ask for the result again"}});
  lines.results.erase(lines.results.begin() + at);
  lines.lines.erase(lines.lines.begin() + at);
  std::stable_sort(lines.troubles.begin(), lines.troubles.end(),
                   [](const LineTrouble& a, const LineTrouble& b) { return a.line < b.line; });
}

std::string trouble_words(const LineTrouble& trouble) {
  std::string words = "line " + std::to_string(trouble.line);
  if (!trouble.by.empty()) words += " (" + trouble.by + ")";
  words += ": " + trouble.error.what;
  return trouble.error.remedy.empty() ? words : words + "; " + trouble.error.remedy;
}

}  // namespace intercusp
