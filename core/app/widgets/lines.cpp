#include "app/widgets/lines.h"

#include <cctype>
#include <cfloat>

namespace intercusp::ui {

namespace {

// Whether the word that begins at `next` belongs to the number before the space.
bool is_unit(const std::string& words, std::size_t next) {
  for (const char* unit : {"mm", "degrees", "%"}) {
    const std::string u = unit;
    if (words.compare(next, u.size(), u) != 0) continue;
    const std::size_t end = next + u.size();
    if (end == words.size() || !std::isalpha(static_cast<unsigned char>(words[end]))) return true;
  }
  return false;
}

// The end of the piece that begins at `from`: up to a space at which a line may end, or a line's own end.
std::size_t piece_end(const std::string& words, std::size_t from) {
  std::size_t end = from;
  while (end < words.size() && words[end] != '\n') {
    const bool number = end > from && std::isdigit(static_cast<unsigned char>(words[end - 1]));
    if (words[end] == ' ' && end > from && words[end - 1] != ' ' && !(number && is_unit(words, end + 1))) break;
    ++end;
  }
  return end;
}

}  // namespace

std::string in_lines(ImFont* font, const std::string& words, float width) {
  const auto wide = [font](const std::string& line) {
    return font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, line.c_str()).x;
  };
  if (words.find('\n') == std::string::npos && wide(words) <= width) return words;  // what most are
  std::string done, line;
  for (std::size_t at = 0; at < words.size();) {
    const std::size_t end = piece_end(words, at);
    const std::string piece = words.substr(at, end - at);
    if (!line.empty() && wide(line + " " + piece) > width) {
      done += line + "\n";
      line = piece;
    } else {
      line += (line.empty() ? "" : " ") + piece;
    }
    at = end;
    if (at < words.size() && words[at] == '\n') {
      done += line + "\n";
      line.clear();
    }
    if (at < words.size()) ++at;
  }
  return done + line;
}

}  // namespace intercusp::ui
