#include "surgery/stroke_font.h"

#include <array>

namespace intercusp {
namespace {

struct DrawnLetter {
  char letter;
  const char* lines;  ///< points as two digits, x and y; a bar lifts the pen
};

constexpr DrawnLetter kDrawn[] = {
    {'A', "00 04 26 44 40|02 42"},
    {'B', "00 06 36 45 44 33 03|33 42 41 30 00"},
    {'C', "45 36 16 05 01 10 30 41"},
    {'D', "00 06 26 44 42 20 00"},
    {'E', "46 06 00 40|03 33"},
    {'F', "46 06 00|03 33"},
    {'G', "45 36 16 05 01 10 30 41 43 23"},
    {'H', "00 06|40 46|03 43"},
    {'I', "20 26|16 36|10 30"},
    {'J', "46 41 30 10 01"},
    {'K', "00 06|46 03 40"},
    {'L', "06 00 40"},
    {'M', "00 06 23 46 40"},
    {'N', "00 06 40 46"},
    {'O', "00 06 46 40 00"},
    {'P', "00 06 36 45 44 33 03"},
    {'Q', "10 01 05 16 36 45 41 30 10|22 40"},
    {'R', "00 06 36 45 44 33 03|23 40"},
    {'S', "45 36 16 05 04 13 33 42 41 30 10 01"},
    {'T', "06 46|26 20"},
    {'U', "06 01 10 30 41 46"},
    {'V', "06 20 46"},
    {'W', "06 10 24 30 46"},
    {'X', "00 46|06 40"},
    {'Y', "06 23 46|23 20"},
    {'Z', "06 46 00 40"},
    {'0', "10 01 05 16 36 45 41 30 10"},
    {'1', "15 26 20|10 30"},
    {'2', "05 16 36 45 44 00 40"},
    {'3', "05 16 36 45 44 33 13|33 42 41 30 10 01"},
    {'4', "30 36 02 42"},
    {'5', "46 06 03 33 42 41 30 00"},
    {'6', "45 36 16 05 01 10 30 41 42 33 03"},
    {'7', "06 46 10"},
    {'8', "13 04 05 16 36 45 44 33 13|13 02 01 10 30 41 42 33"},
    {'9', "43 13 04 05 16 36 45 41 30 10 01"},
    {'-', "13 33"},
    {'.', "20 20"},
};

std::vector<LetterStroke> read_lines(const char* lines) {
  std::vector<LetterStroke> strokes;
  bool down = false;
  Eigen::Vector2d last = Eigen::Vector2d::Zero();
  for (const char* c = lines; *c != 0; ++c) {
    if (*c == '|') down = false;
    if (*c == '|' || *c == ' ') continue;
    const Eigen::Vector2d point(c[0] - '0', c[1] - '0');
    ++c;
    if (down) strokes.push_back({last, point});
    last = point;
    down = true;
  }
  return strokes;
}

}  // namespace

const std::vector<LetterStroke>& strokes_of(char letter) {
  static const std::array<std::vector<LetterStroke>, 128> all = [] {
    std::array<std::vector<LetterStroke>, 128> table;
    for (const DrawnLetter& drawn : kDrawn) {
      const auto at = static_cast<std::size_t>(drawn.letter);
      table[at] = read_lines(drawn.lines);
      if (drawn.letter >= 'A' && drawn.letter <= 'Z') table[at + 32] = table[at];
    }
    return table;
  }();
  const auto at = static_cast<unsigned char>(letter);
  return all[at < 128 ? at : 0];
}

}  // namespace intercusp
