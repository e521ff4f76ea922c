// What a surface from a file is taken for, and how that is changed.
#include "casebook/surface_role.h"

#include <doctest/doctest.h>

#include "geometry/shapes.h"

namespace intercusp {
namespace {

Case with_bodies(const std::vector<std::string>& names) {
  Case c;
  for (const std::string& name : names)
    c.bodies.push_back(make_body(
        name, Surface::make(shapes::box(Vec3(0, 0, 0), Vec3(1, 1, static_cast<double>(1 + c.bodies.size()))))));
  return c;
}

}  // namespace

TEST_CASE("a surface is taken for what its file's name says") {
  const Case none;
  CHECK(likely_role(none, "Upper jaw scan.stl", 60) == "upper_arch");
  CHECK(likely_role(none, "MANDIBULAR.ply", 58) == "lower_arch");
  CHECK(likely_role(none, "lower_bone.stl", 60) == "lower_bone");
  CHECK(likely_role(none, "maxilla-CT.stl", 70) == "upper_bone");
  CHECK(likely_role(none, "skull.stl", 160) == "upper_bone");
  CHECK(likely_role(none, "upper_roots.stl", 55) == "upper_roots");
  CHECK(likely_role(none, "section.stl", 55) == "upper_arch");  // no "ct" of its own
}

TEST_CASE("a surface is taken for bone by its size, and else for what the case lacks") {
  CHECK(likely_role(Case(), "mandible.stl", 118) == "lower_bone");
  CHECK(likely_role(Case(), "export3.stl", 130) == "upper_bone");
  CHECK(likely_role(with_bodies({"upper_bone"}), "export3.stl", 130) == "lower_bone");
  CHECK(likely_role(with_bodies({"upper_arch"}), "export3.stl", 60) == "lower_arch");
  CHECK(likely_role(with_bodies({"lower_arch"}), "export3.stl", 60) == "upper_arch");
  CHECK(likely_role(Case(), "export3.stl", 0) == "upper_arch");
}

TEST_CASE("a role is changed, and what had it takes the other") {
  Case c = with_bodies({"upper_arch", "upper_bone"});
  const std::string arch = c.find_body("upper_arch")->mesh_sha256;
  const SurfacePtr surface = c.find_body("upper_arch")->surface;
  REQUIRE(change_role(c, "upper_arch", "upper_bone").ok());
  CHECK(c.find_body("upper_bone")->surface == surface);
  CHECK(c.find_body("upper_arch")->surface != surface);
  CHECK(c.find_body("upper_bone")->mesh_sha256 == arch);
  REQUIRE(change_role(c, "upper_bone", "lower_roots").ok());
  CHECK(c.find_body("lower_roots")->surface == surface);
  CHECK_FALSE(c.find_body("upper_bone"));
  CHECK_FALSE(change_role(c, "lower_bone", "upper_arch").ok());
  CHECK_FALSE(change_role(c, "upper_arch", "cap").ok());
}

}  // namespace intercusp
