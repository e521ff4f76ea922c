#include <algorithm>
#include <cmath>

#include "anatomy/fixed_random.h"
#include "anatomy/sample_jaws.h"
#include "anatomy/seating.h"

namespace intercusp {

namespace {

JawRecipe class2_div1() {
  JawRecipe r;
  r.name = "class2_div1";
  r.title = "Class II division 1: overjet 8 mm, upper incisors proclined";
  r.overjet_mm = 8;
  r.overbite_mm = 3.5;
  r.molar_right_mm = r.molar_left_mm = 5.0;
  r.intercanine_upper_mm = 33.0;
  r.intermolar_upper_mm = 52.0;
  r.upper_incisor_inclination_deg = 14;
  r.upper_lateral_inclination_deg = 11;
  return r;
}

JawRecipe class2_div2() {
  JawRecipe r;
  r.name = "class2_div2";
  r.title = "Class II division 2: upper centrals retroclined, deep bite 6 mm";
  r.overjet_mm = 3.2;
  r.overbite_mm = 6;
  r.molar_right_mm = r.molar_left_mm = 2.1;
  r.intercanine_upper_mm = 34.2;
  r.intermolar_upper_mm = 54;
  r.upper_incisor_inclination_deg = -11;
  r.upper_lateral_inclination_deg = 10;
  r.lower_incisor_inclination_deg = -7;
  return r;
}

JawRecipe class3() {
  JawRecipe r;
  r.name = "class3";
  r.title = "Class III with a retruded upper jaw: reverse overjet 4 mm";
  r.overjet_mm = -4;
  r.overbite_mm = 1.5;
  r.molar_right_mm = r.molar_left_mm = -5.5;
  r.upper_incisor_inclination_deg = 10;
  r.upper_lateral_inclination_deg = 8;
  r.lower_incisor_inclination_deg = -7;
  return r;
}

JawRecipe open_bite() {
  JawRecipe r;
  r.name = "open_bite";
  r.title = "Anterior open bite of 4 mm";
  r.overjet_mm = 3;
  r.overbite_mm = -4;
  r.molar_right_mm = r.molar_left_mm = -0.2;
  r.upper_incisor_inclination_deg = 11;
  r.upper_lateral_inclination_deg = 9;
  return r;
}

JawRecipe crossbite() {
  JawRecipe r;
  r.name = "crossbite";
  r.title = "Crossbite of the right side, midlines 2 mm apart";
  r.overjet_mm = 1.8;
  r.overbite_mm = 1.5;
  r.midline_mm = 2;
  r.molar_right_mm = 0.5;
  r.molar_left_mm = -0.3;
  r.crossbite_right_mm = 4.6;
  r.intermolar_upper_mm = 52;
  r.intercanine_upper_mm = 33.2;
  return r;
}

constexpr std::uint32_t kMostDraws = 8;

/// Jaws like one of the samples, varied; the variation shrinks with every attempt and is gone at the last.
JawRecipe drawn_recipe(std::uint64_t seed, std::uint32_t attempt) {
  FixedRandom random(seed ^ 0x5eed0fca5e5ull);
  JawRecipe r = sample_recipes()[random.below(static_cast<std::uint32_t>(sample_recipes().size()))];
  const double width = 1.0 - static_cast<double>(attempt) / kMostDraws;
  const auto vary = [&](double low, double high) { return width * random.between(low, high); };
  r.title = "Random jaws like " + r.name;
  r.name = "random_" + std::to_string(seed);
  r.seed = seed;
  r.size_variation = 0.05 * width;
  const double shift = vary(-0.5, 0.5);
  r.overjet_mm += shift;
  r.molar_right_mm += shift + vary(-0.35, 0.35);
  r.molar_left_mm += shift + vary(-0.35, 0.35);
  r.overbite_mm += vary(-0.8, 0.6);
  r.midline_mm += vary(-0.6, 0.6);
  const double wide = vary(-1.5, 1.5);
  r.intermolar_upper_mm += wide;
  r.intercanine_upper_mm += 0.55 * wide + vary(-0.3, 0.3);
  r.upper_incisor_inclination_deg += vary(-1, 4);
  return r;
}

}  // namespace

const std::vector<JawRecipe>& sample_recipes() {
  static const std::vector<JawRecipe> kRecipes = [] {
    JawRecipe plain;
    plain.name = "class1";
    plain.title = "Ordinary Class I";
    plain.seed = 8;
    plain.molar_right_mm = plain.molar_left_mm = -0.3;
    return std::vector<JawRecipe>{plain, class2_div1(), class2_div2(), class3(), open_bite(), crossbite()};
  }();
  return kRecipes;
}

Result<JawRecipe> find_sample(const std::string& name) {
  std::string names;
  for (const JawRecipe& recipe : sample_recipes()) {
    if (recipe.name == name) return recipe;
    names += (names.empty() ? "" : ", ") + recipe.name;
  }
  return Error{"there is no sample \"" + name + "\"", "", "choose one of " + names};
}

JawRecipe random_recipe(std::uint64_t seed) {
  // Not every draw can be seated: teeth that came out small or large may not meet at the relation drawn with them. The
  // draw is then repeated closer to the plain sample, which always can.
  for (std::uint32_t attempt = 0;; ++attempt) {
    JawRecipe r = drawn_recipe(seed, attempt);
    if (attempt == kMostDraws || seat_arches(r).ok()) return r;
  }
}

}  // namespace intercusp
