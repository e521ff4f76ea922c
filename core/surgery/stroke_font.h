// Letters as strokes, to be raised on what is printed.
#pragma once

#include <string>
#include <vector>

#include "geometry/types.h"

namespace intercusp {

/// A stroke of a letter: 4 wide and 6 high, y upwards from the foot.
struct LetterStroke {
  Eigen::Vector2d from, to;
};
constexpr double kLetterWidth = 4, kLetterHeight = 6;

/// The strokes of A to Z, 0 to 9, '-' and '.'; small letters are drawn as large ones, everything else as a gap. No two
/// are drawn alike: the letter O has corners, the digit 0 none.
const std::vector<LetterStroke>& strokes_of(char letter);

}  // namespace intercusp
