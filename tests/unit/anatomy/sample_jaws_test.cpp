#include "anatomy/sample_jaws.h"

#include <doctest/doctest.h>

using namespace intercusp;

namespace {

JawRecipe small_sample(const std::string& name) {
  JawRecipe recipe = find_sample(name).value();
  recipe.triangles = 20000;
  return recipe;
}

}  // namespace

TEST_CASE("every sample measures what its recipe asks for") {
  for (const JawRecipe& listed : sample_recipes()) {
    CAPTURE(listed.name);
    const auto made = make_sample(small_sample(listed.name));
    REQUIRE(made.ok());
    const SampleJaws& jaws = made.value();
    CHECK(jaws.truth.at("overjet") == doctest::Approx(listed.overjet_mm).epsilon(1e-8));
    CHECK(jaws.truth.at("overbite") == doctest::Approx(listed.overbite_mm).epsilon(1e-8));
    CHECK(std::abs(jaws.truth.at("midline_upper_lower") - listed.midline_mm) < 1e-8);
    CHECK(jaws.truth.at("molar_right") == doctest::Approx(listed.molar_right_mm).epsilon(1e-8));
    CHECK(jaws.truth.at("molar_left") == doctest::Approx(listed.molar_left_mm).epsilon(1e-8));
    for (const SampleBody& body : jaws.bodies) {
      const double ratio = static_cast<double>(body.mesh.triangles.size()) / 20000;
      CHECK(std::abs(ratio - 1) <= 0.1);
      CHECK(signed_volume(body.mesh) > 0);
    }
  }
}
