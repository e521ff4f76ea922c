#include "anatomy/kept_seating.h"

#include <algorithm>
#include <string>
#include <tuple>

#include <nlohmann/json.hpp>

namespace intercusp {

namespace embedded {
extern const char kSampleSeatings[];
}

namespace {

LowerSeating seating_from(const nlohmann::json& written) {
  LowerSeating seating;
  seating.at.apex = Vec2(written["apex"][0], written["apex"][1]);
  seating.at.incisor_level = written["incisor_level_mm"];
  seating.at.molar_right_mm = written["molar_right_mm"];
  seating.at.molar_left_mm = written["molar_left_mm"];
  for (const auto& [tooth, stance] : written["teeth"].items()) {
    seating.stance[std::stoi(tooth)] = {stance[0], stance[1], stance[2], stance[3]};
  }
  return seating;
}

const std::map<std::string, LowerSeating>& all_kept() {
  static const std::map<std::string, LowerSeating> kAll = [] {
    std::map<std::string, LowerSeating> all;
    const nlohmann::json file = nlohmann::json::parse(embedded::kSampleSeatings);
    for (const auto& [name, written] : file.items()) all[name] = seating_from(written);
    return all;
  }();
  return kAll;
}

/// All that a recipe says of the teeth.
auto teeth_of(const JawRecipe& r) {
  return std::tie(r.seed, r.irregularity, r.size_variation, r.overjet_mm, r.overbite_mm, r.midline_mm, r.molar_right_mm,
                  r.molar_left_mm, r.intercanine_upper_mm, r.intermolar_upper_mm, r.upper_incisor_inclination_deg,
                  r.upper_lateral_inclination_deg, r.lower_incisor_inclination_deg, r.crossbite_right_mm,
                  r.crossbite_left_mm, r.drift_right_mm, r.drift_left_mm, r.crowding_upper_mm, r.crowding_lower_mm,
                  r.upper_lateral_size, r.lower_front_size);
}

}  // namespace

const LowerSeating* kept_seating(const JawRecipe& recipe) {
  const auto& samples = sample_recipes();
  const auto sample =
      std::find_if(samples.begin(), samples.end(), [&](const JawRecipe& s) { return teeth_of(s) == teeth_of(recipe); });
  if (sample == samples.end()) return nullptr;
  const auto kept = all_kept().find(sample->name);
  return kept == all_kept().end() ? nullptr : &kept->second;
}

}  // namespace intercusp
