// Bites to ask about, drawn from a seed.
#pragma once

#include "anatomy/fixed_random.h"
#include "anatomy/sample_jaws.h"
#include "practice/kinds.h"

namespace intercusp {

/// What is special about a drawn bite, for the words after the answer.
enum class BiteTrait { plain, drifted, asymmetric, mixed };

struct DrawnBite {
  JawRecipe recipe;
  BiteTrait trait = BiteTrait::plain;
  bool right = true;  ///< the side asked about or that the trait is on; crowding: the lower arch
};

constexpr std::uint32_t kMostBiteDraws = 24;

/// Random numbers of one attempt at one question.
FixedRandom random_for(const QuestionSpec& spec, std::uint32_t attempt);

/// A bite for this question. Later attempts stay closer to what always seats. Exact arithmetic only: the same recipe on
/// every platform.
DrawnBite draw_bite(const QuestionSpec& spec, std::uint32_t attempt);

/// What to say of a trait after the answer; may be empty.
std::string trait_words(const DrawnBite& bite);

}  // namespace intercusp
