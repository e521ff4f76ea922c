// The kept seatings of the samples against the search itself. With INTERCUSP_WRITE_SEATINGS set they are written anew:
//   INTERCUSP_WRITE_SEATINGS=1 build/native/tests/intercusp_tests -tc="samples stand as they are seated"
#include "anatomy/kept_seating.h"

#include <doctest/doctest.h>

#include <cstdlib>
#include <fstream>

#include <nlohmann/json.hpp>

#include "anatomy/seating.h"

using namespace intercusp;

namespace {

std::string line_of(const Stance& s) {
  return nlohmann::json::array({s.inclination_deg, s.angulation_deg, s.rotation_deg, s.level_mm}).dump();
}

std::string object_of(const SeatedArches& seated) {
  const auto number = [](double x) { return nlohmann::json(x).dump(); };
  const LowerUnknowns& at = seated.lower_at;
  std::string out = "{\n    \"apex\": [" + number(at.apex.x()) + ", " + number(at.apex.y()) +
                    "],\n    \"incisor_level_mm\": " + number(at.incisor_level) +
                    ",\n    \"molar_right_mm\": " + number(at.molar_right_mm) +
                    ",\n    \"molar_left_mm\": " + number(at.molar_left_mm) + ",\n    \"teeth\": {";
  for (std::size_t i = 0; i < seated.lower.size(); ++i) {
    out += (i > 0 ? ",\n      \"" : "\n      \"") + std::to_string(seated.lower[i].iso()) +
           "\": " + line_of(seated.lower[i].stance);
  }
  return out + "\n    }\n  }";
}

void write_seatings() {
  std::ofstream file(INTERCUSP_SOURCE_DIR "/samples/seatings.json");
  std::string before = "{\n  \"";
  for (JawRecipe recipe : sample_recipes()) {
    recipe.lower_forward_mm = recipe.lower_down_mm = 0;
    file << before << recipe.name << "\": " << object_of(seat_arches_from(recipe, nullptr).value());
    before = ",\n  \"";
  }
  file << "\n}\n";
}

}  // namespace

TEST_CASE("samples stand as they are seated") {
  if (std::getenv("INTERCUSP_WRITE_SEATINGS")) return write_seatings();
  for (JawRecipe recipe : sample_recipes()) {
    CAPTURE(recipe.name);
    recipe.triangles = 20000;  // of no account for the teeth
    const LowerSeating* kept = kept_seating(recipe);
    REQUIRE(kept != nullptr);
    const SeatedArches sought = seat_arches_from(recipe, nullptr).value();
    const SeatedArches found = seat_arches_from(recipe, kept).value();
    REQUIRE(found.lower.size() == sought.lower.size());
    for (std::size_t i = 0; i < sought.lower.size(); ++i) {
      CAPTURE(sought.lower[i].iso());
      const PlacedTooth &a = sought.lower[i].placed, &b = found.lower[i].placed;
      CHECK((a.origin - b.origin).norm() < 1e-9);
      for (const Vec3& q : {Vec3(5, 0, 0), Vec3(0, 5, 0), Vec3(0, 0, 5)})
        CHECK((a.world(q) - b.world(q)).norm() < 1e-9);
    }
  }
}

TEST_CASE("other teeth than a sample's have no kept seating") {
  JawRecipe recipe = find_sample("class1").value();
  recipe.with_bone = true;  // bones are built about the teeth
  CHECK(kept_seating(recipe) != nullptr);
  recipe.overbite_mm += 1e-6;
  CHECK(kept_seating(recipe) == nullptr);
  CHECK(kept_seating(random_recipe(3)) == nullptr);
}
