// How the lower teeth of the built-in samples stand, as it was found once: the search for it takes 0.1 s.
#pragma once

#include <map>

#include "anatomy/arch_layout.h"
#include "anatomy/sample_jaws.h"

namespace intercusp {

/// What the lower arch is moved by until a recipe is met.
struct LowerUnknowns {
  Vec2 apex = Vec2::Zero();                      ///< patient x, y of the front end of the line
  double incisor_level = 0;                      ///< patient z
  double molar_right_mm = 0, molar_left_mm = 0;  ///< along the guide, backwards
};

/// A lower arch at rest in the upper one.
struct LowerSeating {
  LowerUnknowns at;
  std::map<int, Stance> stance;  ///< by tooth
};

/// That of a recipe whose teeth are those of a built-in sample; null for all others. From samples/seatings.json, which
/// the test "samples stand as they are seated" holds against the search itself, and writes.
const LowerSeating* kept_seating(const JawRecipe& recipe);

}  // namespace intercusp
