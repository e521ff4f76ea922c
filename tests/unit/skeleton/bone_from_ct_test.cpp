#include <doctest/doctest.h>

#include "anatomy/bone_solids.h"
#include "anatomy/ct_flaws.h"
#include "skeleton/bone_surface.h"
#include "skeleton/scan_on_bone.h"

using namespace intercusp;

namespace {

struct Patient {
  JawRecipe recipe;
  SeatedArches arches;
  SkullPattern pattern;
  BoneSolid upper, lower;
  SurfacePtr scan;  ///< crowns and some gum of the upper arch, without base

  Patient()
      : recipe(find_sample("class3").value()),
        arches(seat_arches(recipe).value()),
        pattern(SkullPattern::of(recipe)),
        upper(upper_bone_solid(arches, pattern, 1.6)),
        lower(lower_bone_solid(arches, pattern)) {
    Mesh arch = polygonise(arches.upper_field, arches.upper_field.box(), 1.0, Vec3(24, 26, 5));
    flaws::cut_base_off(arch, true, 12);
    flaws::add_noise(arch, 3, 0.01, 2);
    scan = Surface::make(std::move(arch));
  }
};

const Patient& patient() {
  static const Patient kPatient;
  return kPatient;
}

const Box kUpperImage(Vec3(-48, -8, -12), Vec3(48, 62, 44));

/// The upper jaw as a CT of the face's middle shows it.
SurfacePtr upper_from_ct(const flaws::CtFlaws& f) {
  const Patient& p = patient();
  const flaws::InTheImage solid(p.upper.solid, p.arches.upper_field, kUpperImage, f.thicker_mm);
  return Surface::make(flaws::as_from_ct(solid, kUpperImage, Vec3(0, 30, 22), f));
}

/// Farthest that a point of the scan is from where it belongs.
double farthest(const Surface& scan, const Pose& placed) {
  double worst = 0;
  for (const Vec3f& v : scan.mesh().positions) {
    const Vec3 p = v.cast<double>();
    worst = std::max(worst, (placed * p - p).norm());
  }
  return worst;
}

}  // namespace

TEST_CASE("what a bone surface can be used for is said, part by part") {
  const Patient& p = patient();
  flaws::CtFlaws f;
  f.grid_mm = 1.6;
  f.marrow_mm = 0;
  const Box image(Vec3(-60, -8, -46), Vec3(60, 100, 50));
  const flaws::InTheImage solid(p.lower.solid, p.arches.lower_field, image, 0);
  const Vec3 chin = p.pattern.patient_lower({0, 10, -30});
  const BoneParts clean = bone_parts(*Surface::make(flaws::as_from_ct(solid, image, chin, f)));
  CHECK(clean.closed());
  CHECK(clean.parts == 1);
  CHECK(bone_sentences(clean).size() == 1);
  CHECK(bone_sentences(clean)[0].find("closed") != std::string::npos);
  f.marrow_mm = 2.6;
  f.holes = 3;
  f.loose = 5;
  const BoneParts poor = bone_parts(*Surface::make(flaws::as_from_ct(solid, image, chin, f)));
  CHECK_FALSE(poor.closed());
  CHECK(poor.open_edges > 20);
  CHECK(poor.border_mm > 3 * 8);   // three holes of 5 mm across have rims of some 16 mm
  CHECK(poor.border_mm < 3 * 45);  // and a hole may go through an inner wall as well
  CHECK(poor.inner_walls >= 1);
  CHECK(poor.loose_pieces == 5);
  std::string all;
  for (const std::string& words : bone_sentences(poor)) all += words + "\n";
  for (const char* words : {"open along", "inner wall", "5 loose pieces", "volumes cannot"}) {
    CAPTURE(words);
    CHECK(all.find(words) != std::string::npos);
  }
}

TEST_CASE("a scan finds its teeth on a poor surface from CT") {
  flaws::CtFlaws f;
  f.holes = 6;
  f.loose = 12;
  const SurfacePtr bone = upper_from_ct(f);
  const Surface& scan = *patient().scan;
  // A few millimetres and degrees off.
  Pose off(Eigen::AngleAxisd(radians(3), Vec3(1, 2, -1).normalized()));
  off.translation() = Vec3(0.8, -1.0, 0.9);
  const Mesh moved = transformed(scan.mesh(), off);
  const SurfacePtr given = Surface::make(moved);
  const auto laid = lay_scan_on_bone(*given, *bone, Pose::Identity());
  REQUIRE(laid.ok());
  CHECK(laid.value().good());
  // The teeth of the image are noisy by 0.08 mm and stepped by 0.2; thousands of points average that.
  CHECK(farthest(scan, laid.value().bone_from_scan * off) < 0.2);
  CHECK(laid.value().rms_mm > 0.05);
  CHECK(laid.value().rms_mm < 0.3);
  // The image is thicker than the truth by 0.1 mm, so the scan lies inside by about that.
  CHECK(laid.value().offset_mm == doctest::Approx(-0.1).epsilon(0.6));
  const std::string said = laid.value().sentence("upper_arch", "upper_bone");
  CHECK(said.find("upper_arch lies on the teeth of upper_bone to 0.") == 0);
  CHECK(said.find("thicker") != std::string::npos);
}

TEST_CASE("a scan from anywhere finds its teeth, given which way is up") {
  flaws::CtFlaws f;
  f.grid_mm = 1.5;
  f.marrow_mm = 0;
  f.holes = 4;
  const SurfacePtr bone = upper_from_ct(f);
  const Surface& scan = *patient().scan;
  Pose off(Eigen::AngleAxisd(radians(11), Vec3::UnitX()));
  off.translation() = Vec3(70, -140, 35);
  const SurfacePtr given = Surface::make(transformed(scan.mesh(), off));
  const auto found = find_scan_on_bone(*given, *bone, Pose::Identity());
  REQUIRE(found.ok());
  CHECK(found.value().good());
  CHECK(farthest(scan, found.value().bone_from_scan * off) < 0.3);
}

TEST_CASE("a bone without crowns carries no scan, and is said to") {
  const Patient& p = patient();
  const SurfacePtr bone = Surface::make(bone_surface(p.upper, p.pattern, 2.0, Vec3(0, 30, 22)));
  const auto laid = lay_scan_on_bone(*p.scan, *bone, Pose::Identity());
  if (laid.ok()) {
    CHECK_FALSE(laid.value().good());
    CHECK(laid.value().sentence("a", "b").find(":") != std::string::npos);
  }
  const auto empty = find_scan_on_bone(*p.scan, *Surface::make(Mesh{}), Pose::Identity());
  CHECK_FALSE(empty.ok());
}
