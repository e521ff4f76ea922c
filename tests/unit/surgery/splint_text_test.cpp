#include "surgery/splint_text.h"

#include <doctest/doctest.h>

#include <set>

#include "geometry/signed_distance.h"
#include "splint_scenes.h"
#include "surgery/stroke_font.h"

using namespace intercusp;

namespace {

/// All strokes of a letter, in words.
std::string drawn(char letter) {
  std::string out;
  for (const LetterStroke& s : strokes_of(letter)) {
    for (const double v : {s.from.x(), s.from.y(), s.to.x(), s.to.y()}) out += std::to_string(static_cast<int>(v));
  }
  return out;
}

/// Of the places given in a letter, how many lie inside the solid this far out of the wall.
std::size_t raised_places(const SplintText& text, const Surface& solid, std::size_t letter,
                          const std::vector<Eigen::Vector2d>& places, double out_mm, const Vec3& middle) {
  std::size_t count = 0;
  for (const Eigen::Vector2d& place : places) {
    const Vec3 wall = text.on_wall(letter, place);
    Vec3 out = wall - middle;
    out.z() = 0;
    SignedDistance found;
    REQUIRE(signed_distance(solid, wall + out_mm * out.normalized(), 3, found));
    count += found.side == Side::inside;
  }
  return count;
}

}  // namespace

TEST_CASE("splint text: every letter is drawn inside its field, and no two alike") {
  std::set<std::string> seen;
  for (const char letter : std::string("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-.")) {
    CAPTURE(letter);
    CHECK_FALSE(strokes_of(letter).empty());
    CHECK(seen.insert(drawn(letter)).second);
    for (const LetterStroke& s : strokes_of(letter)) {
      for (const Eigen::Vector2d& p : {s.from, s.to}) {
        CHECK((p.x() >= 0 && p.x() <= kLetterWidth && p.y() >= 0 && p.y() <= kLetterHeight));
      }
    }
  }
  CHECK(drawn('q') == drawn('Q'));
  CHECK(strokes_of(' ').empty());
  CHECK(strokes_of(static_cast<char>(0xe9)).empty());
}

TEST_CASE("splint text: it stands out of the rim as one solid with it, and can be felt where its strokes are") {
  splint_scenes::Scene scene = splint_scenes::of_sample("class1", 20000, 3);
  scene.request.settings.raised_text = {std::string(90, 'W'), "TEST-1 A FINAL 0C9F"};
  scene.request.settings.step_mm = 0.34;
  scene.request.settings.tolerance_mm = 0.05;
  const auto made = make_splint(scene.request);
  REQUIRE_MESSAGE(made.ok(), (made.ok() ? "" : made.error().sentence()));
  const Splint& splint = made.value();
  CHECK(splint.text == "TEST-1 A FINAL 0C9F");  // the first is too long
  CHECK(splint.letter_mm >= SplintText::kSmallestLetter - 1e-9);
  CHECK(check_mesh(splint.mesh).closed());
  CHECK(check_mesh(splint.mesh).components == 1);
  CHECK(self_crossings(splint.mesh).empty());
  const auto slab = SplintSlab::make(scene.request.upper, scene.request.lower, scene.request.settings);
  REQUIRE(slab.ok());
  const auto text = SplintText::make(slab.value(), splint.text, scene.request.settings.rounding_mm);
  REQUIRE(text);
  const SurfacePtr solid = Surface::make(splint.mesh);
  std::size_t on = 0, on_asked = 0, off = 0, off_asked = 0;
  for (std::size_t letter = 0; letter < splint.text.size(); ++letter) {
    std::vector<Eigen::Vector2d> strokes;
    for (const LetterStroke& s : strokes_of(splint.text[letter])) strokes.push_back(0.5 * (s.from + s.to));
    on += raised_places(*text, *solid, letter, strokes, 0.25, slab.value().middle());
    on_asked += strokes.size();
    off += raised_places(*text, *solid, letter, {{4.9, 3}, {2, -2.2}, {2, 8.2}}, 0.25, slab.value().middle());
    off_asked += 3;
  }
  CHECK(static_cast<double>(on) > 0.95 * static_cast<double>(on_asked));
  CHECK(static_cast<double>(off) < 0.05 * static_cast<double>(off_asked));
}

TEST_CASE("splint zones: teeth under a painted zone get their room along the way off, the others keep theirs") {
  splint_scenes::Scene scene = splint_scenes::of_sample("class1", 20000, 3);
  scene.request.settings.step_mm = 0.4;
  scene.request.settings.tolerance_mm = 0.05;
  scene.request.settings.zone_room_mm = 0.8;
  // The outside of the upper teeth on the patient's left.
  Mesh& zone = scene.request.upper_zone;
  zone.positions = scene.request.upper.positions;
  const double front = bounds(scene.request.upper).min().y();
  const SurfacePtr arch = Surface::make(scene.request.upper);
  for (std::size_t t = 0; t < arch->mesh().triangles.size(); ++t) {
    const Vec3 at = arch->mesh().corner(t, 0), out = arch->scaled_normal(t).stableNormalized();
    if (at.x() > 8 && at.y() < front + 25 && out.x() > 0.5) zone.triangles.push_back(arch->mesh().triangles[t]);
  }
  REQUIRE(zone.triangles.size() > 300);
  const auto made = make_splint(scene.request);
  REQUIRE_MESSAGE(made.ok(), (made.ok() ? "" : made.error().sentence()));
  const Splint& splint = made.value();
  CHECK(check_mesh(splint.mesh).closed());
  CHECK(splint.upper.seats);
  CHECK(splint.lower.seats);
  const SurfacePtr painted = Surface::make(zone);
  double least = 10, elsewhere = 10;
  for (const Vec3f& p : splint.mesh.positions) {
    ClosestPoint nearest;
    if (painted->bvh().closest(zone, p.cast<double>(), 3, nearest)) least = std::min(least, nearest.distance_mm);
    if (p.x() < -5 && arch->bvh().closest(arch->mesh(), p.cast<double>(), 3, nearest))
      elsewhere = std::min(elsewhere, nearest.distance_mm);
  }
  CHECK(least > 0.1 + 0.8 - 0.1);  // to the grid: only imprints are followed exactly
  CHECK(elsewhere < 0.15);
}
