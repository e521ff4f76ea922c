// The built-in recipes are samples/recipes.json, built in; what a recipe does not say is the ordinary Class I.
#include <algorithm>
#include <cassert>
#include <cmath>

#include <nlohmann/json.hpp>

#include "anatomy/fixed_random.h"
#include "anatomy/sample_jaws.h"
#include "anatomy/seating.h"

namespace intercusp {

namespace embedded {
extern const char kSampleRecipes[];
}

namespace {

struct Number {
  const char* name;
  double JawRecipe::*member;
};

constexpr Number kNumbers[] = {{"overjet_mm", &JawRecipe::overjet_mm},
                               {"overbite_mm", &JawRecipe::overbite_mm},
                               {"midline_mm", &JawRecipe::midline_mm},
                               {"molar_right_mm", &JawRecipe::molar_right_mm},
                               {"molar_left_mm", &JawRecipe::molar_left_mm},
                               {"intercanine_upper_mm", &JawRecipe::intercanine_upper_mm},
                               {"intermolar_upper_mm", &JawRecipe::intermolar_upper_mm},
                               {"upper_incisor_inclination_deg", &JawRecipe::upper_incisor_inclination_deg},
                               {"upper_lateral_inclination_deg", &JawRecipe::upper_lateral_inclination_deg},
                               {"lower_incisor_inclination_deg", &JawRecipe::lower_incisor_inclination_deg},
                               {"crossbite_right_mm", &JawRecipe::crossbite_right_mm},
                               {"crossbite_left_mm", &JawRecipe::crossbite_left_mm},
                               {"lower_forward_mm", &JawRecipe::lower_forward_mm},
                               {"lower_down_mm", &JawRecipe::lower_down_mm},
                               {"upper_jaw_forward_mm", &JawRecipe::upper_jaw_forward_mm},
                               {"face_height_mm", &JawRecipe::face_height_mm},
                               {"chin_left_mm", &JawRecipe::chin_left_mm},
                               {"cant_deg", &JawRecipe::cant_deg}};

/// The file is part of the program: a word in it that means nothing is a programmer's fault.
JawRecipe recipe_from(const nlohmann::json& written) {
  JawRecipe r;
  for (const auto& [key, value] : written.items()) {
    const auto* number =
        std::find_if(std::begin(kNumbers), std::end(kNumbers), [&k = key](const Number& n) { return k == n.name; });
    if (key == "name")
      r.name = value.get<std::string>();
    else if (key == "title")
      r.title = value.get<std::string>();
    else if (key == "seed")
      r.seed = value.get<std::uint64_t>();
    else if (number != std::end(kNumbers))
      r.*(number->member) = value.get<double>();
    else
      assert(false && "unknown word in samples/recipes.json");
  }
  return r;
}

constexpr std::uint32_t kMostDraws = 8;
constexpr std::uint32_t kDrawnSamples = 6;  ///< never more: a seed would mean other jaws then

/// Jaws like one of the samples, varied; the variation shrinks with every attempt and is gone at the last.
JawRecipe drawn_recipe(std::uint64_t seed, std::uint32_t attempt) {
  FixedRandom random(seed ^ 0x5eed0fca5e5ull);
  JawRecipe r = sample_recipes()[random.below(kDrawnSamples)];
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
    std::vector<JawRecipe> recipes;
    for (const auto& written : nlohmann::json::parse(embedded::kSampleRecipes)) recipes.push_back(recipe_from(written));
    return recipes;
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
