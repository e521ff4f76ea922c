// Values published or worked out outside the program; the source stands beside each check. "Computed" is arithmetic
// done independently in double precision; "from memory" was not looked up.
#include <doctest/doctest.h>

#include <ctime>

#include "anatomy/proposal_sd.h"
#include "geometry/contact.h"
#include "occlusion/model_bite.h"

using namespace intercusp;

namespace {

// Contact points a given distance apart for positions 1 to 6 of every quadrant, in a row each.
MeasureInput row_of_teeth(double upper12, double upper6, double lower12, double lower6) {
  MeasureInput in;
  for (const int quadrant : {1, 2, 3, 4}) {
    const bool upper = quadrant <= 2;
    const double front = (upper ? upper6 : lower6) / 6, back = (upper ? upper12 - upper6 : lower12 - lower6) / 6;
    double x = 100.0 * quadrant;
    for (int position = 1; position <= 6; ++position) {
      const std::string tooth = std::to_string(10 * quadrant + position);
      in.points[tooth + ".contact_mesial"] = Vec3(x, 0, 0);
      x += position <= 3 ? front : back;
      in.points[tooth + ".contact_distal"] = Vec3(x, 0, 0);
    }
  }
  return in;
}

// One front tooth in a level frame whose facial axis runs by `labial`, `mesial`, `occlusal` from the gum to the edge.
MeasureInput front_tooth(int tooth, double labial, double mesial, double occlusal) {
  MeasureInput in;
  in.frame = OcclusalFrame{};
  const std::string t = std::to_string(tooth) + ".";
  const bool right = tooth / 10 == 1 || tooth / 10 == 4;
  const Vec3 to_midline(right ? 1 : -1, 0, 0), outwards(0, -1, 0), bite(0, 0, tooth / 10 <= 2 ? -1 : 1);
  in.points[t + "gingival_mid"] = Vec3(3, -40, 5);
  in.points[t + "incisal_edge_labial"] = Vec3(3, -40, 5) + labial * outwards + mesial * to_midline + occlusal * bite;
  in.points[t + "contact_mesial"] = Vec3(3, -40, 3) + 4 * to_midline;
  in.points[t + "contact_distal"] = Vec3(3, -40, 4) - 4 * to_midline;
  return in;
}

double tooth_reading(const MeasureInput& in, const char* id) {
  return read(in, id).pairs.at(0).value;
}

// A ball of radius 2 with its lowest point facing a plate; fine enough for a thousandth of a millimetre.
Mesh ball_over_plate() {
  Mesh m;
  constexpr int kRings = 160, kAround = 240;
  m.positions.emplace_back(0, 0, -2);
  for (int ring = 1; ring <= kRings; ++ring) {
    const double a = 0.6 * kPi * ring / kRings;  // from the bottom
    for (int k = 0; k < kAround; ++k) {
      const double b = 2 * kPi * k / kAround;
      m.positions.push_back(
          Vec3(2 * std::sin(a) * std::cos(b), 2 * std::sin(a) * std::sin(b), -2 * std::cos(a)).cast<float>());
    }
  }
  const auto at = [](int ring, int k) { return static_cast<std::uint32_t>(1 + (ring - 1) * kAround + k % kAround); };
  for (int k = 0; k < kAround; ++k) m.triangles.push_back({0, at(1, k + 1), at(1, k)});
  for (int ring = 1; ring < kRings; ++ring) {
    for (int k = 0; k < kAround; ++k) {
      m.triangles.push_back({at(ring, k), at(ring, k + 1), at(ring + 1, k)});
      m.triangles.push_back({at(ring, k + 1), at(ring + 1, k + 1), at(ring + 1, k)});
    }
  }
  return m;
}

Mesh plate() {
  Mesh m;
  m.positions = {{-9, -9, 0}, {9, -9, 0}, {9, 9, 0}, {-9, 9, 0}};
  m.triangles = {{0, 1, 2}, {0, 2, 3}};
  return m;
}

ContactResult cusp_at(double height) {
  Pose up = Pose::Identity();
  up.translation().z() = height;
  return find_contact(*Surface::make(ball_over_plate()), up, *Surface::make(plate()), Pose::Identity(), {});
}

// A standard normal number from twelve uniform ones (Irwin-Hall).
double standard_normal(std::uint64_t& state) {
  double sum = 0;
  for (int i = 0; i < 12; ++i) sum += 0.5 * spread(state);
  return sum;
}

// The other way round: draws of a normal error of the standard deviation found lie within 0.5 mm as often as promised.
TEST_CASE("the standard deviation of a proposed landmark gives its chance to lie within 0.5 mm") {
  std::uint64_t state = 11;
  for (const double chance : {0.05, 0.3, 0.7, 0.95}) {
    const double sd = proposal_sd_mm(chance);
    int within = 0;
    constexpr int kDraws = 20000;
    for (int i = 0; i < kDraws; ++i)
      within +=
          (sd * Vec3(standard_normal(state), standard_normal(state), standard_normal(state))).norm() < 0.5 ? 1 : 0;
    CHECK(std::abs(static_cast<double>(within) / kDraws - chance) < 0.012);
  }
  CHECK(proposal_sd_mm(1) > 0);
  CHECK(std::isfinite(proposal_sd_mm(0)));
}

// Monte Carlo: what is less sure than other landmarks widens what rests on it, as much as its own error does.
TEST_CASE("a less sure landmark widens the numbers that rest on it and no others") {
  MeasureInput in = input_of(model_bite());
  const double before = read(in, "intercanine_upper").uncertainty, molars = read(in, "intermolar_upper").uncertainty;
  in.landmark_sd["13.cusp_tip"] = 1.0;
  const double after = read(in, "intercanine_upper").uncertainty;
  CHECK(after > 1.5 * before);
  CHECK(read(in, "intermolar_upper").uncertainty == doctest::Approx(molars));
  std::uint64_t state = 3;
  double sum = 0, squares = 0;
  constexpr int kDraws = 3000;
  for (int i = 0; i < kDraws; ++i) {
    PointMap points = in.points;
    for (auto& [name, at] : points) {
      const double sd = in.landmark_sd.count(name) ? 1.0 : in.settings.landmark_sd_mm;
      at += sd * Vec3(standard_normal(state), standard_normal(state), standard_normal(state));
    }
    const double value = read(input_of(points), "intercanine_upper").value;
    sum += value;
    squares += value * value;
  }
  const double mean = sum / kDraws;
  CHECK(std::sqrt(squares / kDraws - mean * mean) == doctest::Approx(after).epsilon(0.05));
}

}  // namespace

// Bolton 1958, Angle Orthod 28:113-130, and 1962, Am J Orthod 48:504-529 (means from memory); worked examples computed.
TEST_CASE("published: tooth-size excess in millimetres") {
  const MeasureInput one = row_of_teeth(94, 46, 89, 37.5), two = row_of_teeth(98, 49, 87, 36);
  CHECK(std::abs(read(one, "tooth_size_excess_overall").value - 3.178) < 1e-3);   // lower
  CHECK(std::abs(read(one, "tooth_size_excess_anterior").value - 1.988) < 1e-3);  // lower
  CHECK(std::abs(read(two, "tooth_size_excess_overall").value + 2.710) < 1e-3);   // upper: 98 - 87 / 0.913
  CHECK(std::abs(read(two, "tooth_size_excess_anterior").value + 2.368) < 1e-3);  // upper: 49 - 36 / 0.772
  CHECK(in_words(*find_measure("tooth_size_excess_overall"), read(two, "tooth_size_excess_overall")) ==
        "2.71 mm too much in the upper arch");
}

// Computed: a box crown 10 mm wide and 11 mm deep turned by 15 degrees is 12.506 mm wide along the arch, 10.000 along
// itself; a width is taken between the contact points and so along the tooth.
TEST_CASE("published: the width of a turned tooth is its own") {
  MeasureInput in = row_of_teeth(120, 60, 120, 60);
  const double c = std::cos(radians(15)), s = std::sin(radians(15));
  for (auto& [name, at] : in.points) at = Vec3(c * at.x() - s * at.y(), s * at.x() + c * at.y(), at.z());
  CHECK(std::abs(read(in, "tooth_size_overall").value - 100) < 1e-9);
  const Vec3 own = in.points["16.contact_distal"] - in.points["16.contact_mesial"];
  CHECK(std::abs(own.norm() - 10.000) < 1e-9);
  CHECK(std::abs(std::abs(own.x()) + 11 * s - 12.506) < 1e-3);
}

// Textbook definitions, from memory; worked examples XB1, XB2 and SC1 computed.
TEST_CASE("published: posterior crossbite and scissor bite") {
  MeasureInput in;
  in.frame = OcclusalFrame{};
  in.points["46.mesiobuccal_cusp"] = Vec3(-28.6, 0, 0);
  in.points["16.mesiobuccal_cusp"] = Vec3(-27.5, 0, 0);
  CHECK(std::abs(read(in, "posterior_crossbite_right").value + 1.1) < 1e-9);
  CHECK(in_words(*find_measure("posterior_crossbite_right"), read(in, "posterior_crossbite_right")) ==
        "crossbite of 16, 1.10 mm");
  in.points["16.mesiobuccal_cusp"] = Vec3(-30.5, 0, 0);
  CHECK(std::abs(read(in, "posterior_crossbite_right").value - 1.9) < 1e-9);
  in.points["16.mesiopalatal_cusp"] = Vec3(-30.0, 0, 0);
  CHECK(std::abs(read(in, "scissor_bite_right").value - 1.4) < 1e-9);
  CHECK(in_words(*find_measure("scissor_bite_right"), read(in, "scissor_bite_right")) == "scissor bite of 16, 1.40 mm");
}

// Andrews 1972, Am J Orthod 62:296-309: positive inclination where the gingival part is lingual of the incisal part
// (looked up); the angles computed.
TEST_CASE("published: inclination and angulation of a facial axis") {
  for (const int tooth : {11, 21}) {
    CHECK(std::abs(tooth_reading(front_tooth(tooth, 1.0, 0, 8.0), "crown_inclination_upper") - 7.125) < 1e-3);
    CHECK(std::abs(tooth_reading(front_tooth(tooth, -1.2, 0, 7.0), "crown_inclination_upper") + 9.728) < 1e-3);
    CHECK(std::abs(tooth_reading(front_tooth(tooth, 0, 0.6, 8.0), "crown_angulation_upper") - 4.289) < 1e-3);
  }
  for (const int tooth : {41, 31}) {
    CHECK(std::abs(tooth_reading(front_tooth(tooth, 1.0, 0, 8.0), "crown_inclination_lower") - 7.125) < 1e-3);
    CHECK(std::abs(tooth_reading(front_tooth(tooth, 0, 0.6, 8.0), "crown_angulation_lower") - 4.289) < 1e-3);
  }
}

// Andrews, Straight-Wire: The Concept and Appliance, 1989, n = 120; from memory.
TEST_CASE("published: a tooth at Andrews' averages departs by nothing") {
  struct Row {
    int tooth;
    double angulation, inclination;
  };
  const Row rows[] = {{11, 3.59, 6.11},  {12, 8.04, 4.42},  {13, 8.40, -7.25},
                      {41, 0.53, -1.71}, {42, 0.38, -3.24}, {43, 2.48, -12.73}};
  for (const Row& r : rows) {
    const std::string arch = r.tooth < 30 ? "upper" : "lower";
    const MeasureInput in =
        front_tooth(r.tooth, 8 * std::tan(radians(r.inclination)), 8 * std::tan(radians(r.angulation)), 8);
    CHECK_MESSAGE(std::abs(read(in, ("crown_inclination_" + arch).c_str()).value) < 1e-9, r.tooth);
    CHECK_MESSAGE(std::abs(read(in, ("crown_angulation_" + arch).c_str()).value) < 1e-9, r.tooth);
  }
}

// Katz 1992, AJODO 102:277-284 (formula from memory): 0 where the upper first premolar's cusp bisects the embrasure of
// the lower premolars, positive mesially.
TEST_CASE("published: premolar relation after Katz") {
  MeasureInput in;
  in.frame = OcclusalFrame{};
  in.points["46.contact_distal"] = Vec3(-25, 0, 0);
  in.points["44.contact_mesial"] = Vec3(-25, -24, 0);
  in.points["44.contact_distal"] = Vec3(-25, -17.2, 0);
  in.points["45.contact_mesial"] = Vec3(-25, -16.8, 0);
  in.points["14.buccal_cusp"] = Vec3(-28, -17, 3);
  CHECK(std::abs(read(in, "premolar_right").value) < 1e-12);
  in.points["14.buccal_cusp"].y() = -20.5;
  CHECK(std::abs(read(in, "premolar_right").value - 3.5) < 1e-9);
  CHECK(read(in, "premolar_right").quarters == 2);
}

// Angle 1899, Dental Cosmos 41:248-264; subdivision names the abnormal side (from memory).
TEST_CASE("published: class, division and subdivision") {
  const auto bite = [](double right_mm, double left_mm, double inclination_mm) {
    MeasureInput in = front_tooth(11, inclination_mm, 0, 8);
    for (const auto& [upper, lower, x, off] :
         {std::tuple{"16.", "46.", -25.0, right_mm}, std::tuple{"26.", "36.", 25.0, left_mm}}) {
      const std::string four = lower[0] == '4' ? "44." : "34.", u = upper, l = lower;
      in.points[l + "contact_distal"] = Vec3(x, 0, 0);
      in.points[four + "contact_mesial"] = Vec3(x, -25, 0);
      in.points[l + "buccal_groove"] = Vec3(x, -6, 0);
      in.points[u + "mesiobuccal_cusp"] = Vec3(x, -6 - off, 0);
    }
    return in_words(*find_measure("angle_class"), read(in, "angle_class"));
  };
  CHECK(bite(0, 0.5, 1) == "Class I");
  CHECK(bite(5, 4, 1) == "Class II division 1");
  CHECK(bite(5, 4, -1) == "Class II division 2");
  CHECK(bite(5, 0, 1) == "Class II division 1, subdivision right");
  CHECK(bite(0.2, 5, -1) == "Class II division 2, subdivision left");
  CHECK(bite(-5, -3, 1) == "Class III");
  CHECK(bite(0, -3, 1) == "Class III, subdivision left");
  CHECK(bite(4, -4, 1) == "Class II division 1 right, Class III left");
}

// Contact at or below 0.05 mm, near contact to 0.35 mm: Owens et al. 2002, AJODO, from memory; worked examples K1 to K3
// computed.
TEST_CASE("published: a ball-shaped cusp of radius 2 mm over a plane") {
  const ContactResult touching = cusp_at(2.03), near = cusp_at(2.20), deep = cusp_at(1.85);
  CHECK(std::abs(touching.minimum_distance_mm - 0.030) < 1e-4);
  REQUIRE(touching.contacts.size() == 1);
  CHECK(std::abs(touching.contacts[0].area_mm2 - 0.2501) < 4e-3);
  CHECK(std::abs(std::sqrt(touching.contacts[0].area_mm2 / kPi) - 0.2821) < 2e-3);
  CHECK(std::abs(near.minimum_distance_mm - 0.200) < 1e-4);
  CHECK(near.contacts.empty());
  REQUIRE(deep.contacts.size() == 1);
  CHECK(std::abs(deep.contacts[0].gap_mm + 0.150) < 1e-3);
}

// Balanced within 45 to 55 % (common use, no source); example K4 computed: 3.1 and 2.4 mm2 are 56.36 and 43.64 %.
TEST_CASE("published: shares of contact") {
  MeasureInput in;
  in.frame = OcclusalFrame{};
  in.upper.surface = in.lower.surface = Surface::make(plate());
  auto contact = std::make_shared<ArchContact>();
  contact->result.gap_second.assign(4, 1.0F);
  contact->result.contacts = {{Vec3(-22, 0, 0), 0.01, 3.1}, {Vec3(23, 2, 0), 0.02, 2.4}, {Vec3(5, 2, 0), 0.04, 0.01}};
  in.contact = contact;
  CHECK(std::abs(read(in, "contact_right_share").value - 56.36) < 0.01);
  CHECK(read(in, "contact_right_share").value > (*find_measure("contact_right_share")->usual)[1]);
  CHECK(read(in, "contact_count").value == 2);  // 0.01 mm2 is noise
  CHECK(std::abs(read(in, "contact_area").value - 5.5) < 1e-12);
}

// Computed by hand: a level arch, a step between outer and inner cusps, a head turned and tilted.
TEST_CASE("arch form, curve of Wilson, cant and yaw by hand") {
  MeasureInput in;
  in.frame = OcclusalFrame{};
  in.points["11.contact_mesial"] = Vec3(-0.5, -40, 3);
  in.points["21.contact_mesial"] = Vec3(0.5, -40, 5);
  in.points["16.contact_mesial"] = Vec3(-25, -10, 2);
  in.points["26.contact_mesial"] = Vec3(25, -10, -2);
  CHECK(std::abs(read(in, "arch_depth_upper").value - 30) < 1e-9);
  in.points["46.mesiobuccal_cusp"] = Vec3(-24, -8, 0);
  in.points["36.mesiobuccal_cusp"] = Vec3(24, -9, 0);
  in.points["46.mesiolingual_cusp"] = Vec3(-17, -8, -1.5);
  in.points["36.mesiolingual_cusp"] = Vec3(18, -8, -0.5);
  CHECK(std::abs(read(in, "curve_of_wilson_lower").value - 1.0) < 1e-9);
  in.points["16.mesiobuccal_cusp"] = Vec3(-26, -8, 1);
  in.points["26.mesiobuccal_cusp"] = Vec3(26, -8, -1);
  in.points["Po_right"] = Vec3(-60, 40, 50);
  in.points["Po_left"] = Vec3(60, 40, 50);
  in.points["Or_right"] = Vec3(-33, -30, 50);
  in.points["Or_left"] = Vec3(33, -30, 50);
  CHECK(find_measure("occlusal_cant")->missing(in) == std::vector<std::string>{"midsagittal plane"});
  in.midsagittal = {Vec3::Zero(), Vec3::UnitX()};
  CHECK(std::abs(read(in, "occlusal_cant").value - degrees(std::atan2(2, 52))) < 1e-9);
  CHECK(in_words(*find_measure("occlusal_cant"), read(in, "occlusal_cant")) == "2.2 degrees, left side down");
  in.frame->forward = Vec3(std::sin(radians(3)), -std::cos(radians(3)), 0);
  CHECK(std::abs(read(in, "occlusal_yaw").value - 3) < 1e-9);
}

TEST_CASE("a class near a boundary is said with its neighbours") {
  MeasureValue v;
  v.odds = {{0, 0.78}, {1, 0.22}};
  CHECK(odds_in_words(v) == "Class I, 78 %; a quarter unit Class II, 22 %");
  v.odds = {{-2, 1.0}};
  CHECK(odds_in_words(v) == "half a unit Class III, 100 %");
  CHECK(odds_in_words(MeasureValue()).empty());
}

// How long a whole reading takes; 20 ms is common practice, no source (a hand moves a jaw at thirty pictures a second).
TEST_CASE("a whole reading from landmarks is quick") {
  const MeasureInput in = input_of(lopsided_bite(4));
  const std::clock_t begin = std::clock();
  for (int i = 0; i < 20; ++i) CHECK(measure_all(in).size() == measure_table().size());
  MESSAGE("a reading takes " << 1000.0 * static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC / 20 << " ms");
}

// Monte Carlo, 4,000 draws: the share of displaced landmark sets that fall into each quarter unit.
TEST_CASE("class and quarter probabilities are those of random landmark errors") {
  for (const double offset : {0.6, 1.2, 2.4}) {
    MeasureInput in = input_of(model_bite());
    in.settings.landmark_sd_mm = 0.25;
    const Vec3 along = (in.points["44.contact_mesial"] - in.points["46.contact_distal"]).normalized();
    in.points["16.mesiobuccal_cusp"] += (offset - read(in, "molar_right").value) * along;
    in = input_of(in.points);
    in.settings.landmark_sd_mm = 0.25;
    const MeasureValue exact = read(in, "molar_right");
    const double quarter = *exact.unit_mm / 4;
    std::map<int, int> drawn;
    int in_class = 0;
    std::uint64_t state = 5;
    constexpr int kDraws = 4000;
    for (int draw = 0; draw < kDraws; ++draw) {
      PointMap points = in.points;
      for (auto& [name, at] : points) {
        at += 0.25 * Vec3(standard_normal(state), standard_normal(state), standard_normal(state));
      }
      MeasureInput off = input_of(points);
      off.settings.landmark_sd_mm = 0;
      const int q = static_cast<int>(std::lround(read(off, "molar_right").value / quarter));
      ++drawn[q];
      in_class += (q > 0) == (*exact.quarters > 0) && (q < 0) == (*exact.quarters < 0) ? 1 : 0;
    }
    CHECK(std::abs(static_cast<double>(in_class) / kDraws - *exact.probability) < 0.03);
    REQUIRE_FALSE(exact.odds.empty());
    for (const ClassOdds& odds : exact.odds) {
      CHECK(std::abs(static_cast<double>(drawn[odds.quarters]) / kDraws - odds.probability) < 0.03);
    }
  }
}
