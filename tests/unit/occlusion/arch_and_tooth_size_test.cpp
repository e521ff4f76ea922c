#include <doctest/doctest.h>

#include "occlusion/model_bite.h"

using namespace intercusp;

namespace {

// Contact points of 24 teeth with given widths (positions 1 to 6), each tooth turned and placed somewhere of its own.
MeasureInput teeth(const double (&upper)[6], const double (&lower)[6]) {
  MeasureInput in;
  std::uint64_t state = 7;
  for (const int quadrant : {1, 2, 3, 4}) {
    for (int position = 1; position <= 6; ++position) {
      const double width = (quadrant <= 2 ? upper : lower)[position - 1];
      const Vec3 at = 40 * Vec3(spread(state), spread(state), spread(state));
      const Vec3 along = Vec3(spread(state), spread(state), 0.5).normalized();
      const std::string tooth = std::to_string(10 * quadrant + position);
      in.points[tooth + ".contact_mesial"] = at - 0.5 * width * along;
      in.points[tooth + ".contact_distal"] = at + 0.5 * width * along;
    }
  }
  return in;
}

// Widths with given sums over twelve and six teeth.
MeasureInput sums(double upper12, double upper6, double lower12, double lower6) {
  const double u = upper6 / 6, l = lower6 / 6, pu = (upper12 - upper6) / 6, pl = (lower12 - lower6) / 6;
  return teeth({u, u, u, pu, pu, pu}, {l, l, l, pl, pl, pl});
}

}  // namespace

// Tooth widths: Wheeler / Ash and Nelson, Table 1-1 (upper incisors looked up, the rest from memory). Ratios: computed.
TEST_CASE("Wheeler's teeth through Bolton's ratios") {
  const MeasureInput in = teeth({8.5, 6.5, 7.5, 7, 7, 10}, {5, 5.5, 7, 7, 7, 11});
  CHECK(std::abs(read(in, "tooth_size_overall").value - 91.398) < 1e-3);
  CHECK(std::abs(read(in, "tooth_size_anterior").value - 77.778) < 1e-3);
  // Both inside one standard deviation of Bolton 1958 (91.3 +- 1.91, 77.2 +- 1.65; from memory).
  for (const char* id : {"tooth_size_overall", "tooth_size_anterior"}) {
    const auto usual = *find_measure(id)->usual;
    CHECK(read(in, id).value > usual[0]);
    CHECK(read(in, id).value < usual[1]);
  }
}

// Ratios after Bolton 1958/1962; worked examples 1 and 2, computed.
TEST_CASE("worked tooth-size ratios") {
  CHECK(std::abs(read(sums(94, 46, 89, 37.5), "tooth_size_overall").value - 94.681) < 1e-3);
  CHECK(std::abs(read(sums(94, 46, 89, 37.5), "tooth_size_anterior").value - 81.522) < 1e-3);
  CHECK(std::abs(read(sums(98, 49, 87, 36), "tooth_size_overall").value - 88.776) < 1e-3);
  CHECK(std::abs(read(sums(98, 49, 87, 36), "tooth_size_anterior").value - 73.469) < 1e-3);
}

// Common practice: no number unless every tooth is there.
TEST_CASE("one missing tooth leaves no overall ratio, and names what is missing") {
  MeasureInput in = sums(94, 46, 89, 37.5);
  in.points.erase("35.contact_distal");
  CHECK(find_measure("tooth_size_overall")->missing(in) == std::vector<std::string>{"35.contact_distal"});
  CHECK(find_measure("tooth_size_anterior")->missing(in).empty());
}

TEST_CASE("arch widths are straight distances in space") {
  MeasureInput in;
  in.points["13.cusp_tip"] = Vec3(-17, -30, 0);
  in.points["23.cusp_tip"] = Vec3(17, -30, 1);
  CHECK(read(in, "intercanine_upper").value == doctest::Approx(std::sqrt(34.0 * 34 + 1)));
  CHECK(read(in, "intercanine_upper").uncertainty == doctest::Approx(0.3 * std::sqrt(2.0)).epsilon(1e-6));
  CHECK(find_measure("intermolar_lower")->missing(in) ==
        std::vector<std::string>{"46.mesiobuccal_cusp", "36.mesiobuccal_cusp"});
}

namespace {

// The seven points of the worked example, right side: s runs back along the arch, the arch curves sideways as well.
MeasureInput spee_example() {
  MeasureInput in;
  in.frame = OcclusalFrame{};
  const auto put = [&in](const char* name, double s, double height) {
    in.points[name] = Vec3(-30 * std::sin(s / 40), s, height);
  };
  put("41.incisal_edge_mid", 0, 0);
  put("43.cusp_tip", 9, -0.5);
  put("44.buccal_cusp", 17, -1.2);
  put("45.buccal_cusp", 24, -1.9);
  put("46.mesiobuccal_cusp", 29, -2.0);
  put("46.distobuccal_cusp", 34, -1.8);
  put("47.distobuccal_cusp", 46, 0.4);
  return in;
}

}  // namespace

// Definition after Marshall et al. 2008 as summarised in PMC5324496; worked depth computed.
TEST_CASE("curve of Spee of the worked points is 2.252 mm at the first molar's mesiobuccal cusp") {
  MeasureInput in = spee_example();
  const MeasureValue v = read(in, "curve_of_spee_right");
  CHECK(std::abs(v.value - 2.252) < 1e-3);
  CHECK(v.construct.at(0).label == "46.mesiobuccal_cusp");
  CHECK((v.construct.at(0).points.at(1) - v.construct.at(0).points.at(0)).norm() == doctest::Approx(v.value));
  in.points.erase("46.mesiobuccal_cusp");
  CHECK(find_measure("curve_of_spee_right")->missing(in) == std::vector<std::string>{"46.mesiobuccal_cusp"});
}

TEST_CASE("a curve of Spee without some of its cusps says at how many it was read") {
  MeasureInput in = spee_example();
  const MeasureDefinition& d = *find_measure("curve_of_spee_right");
  const Vec3 shallow = 0.5 * (in.points.at("46.mesiobuccal_cusp") + in.points.at("44.buccal_cusp"));
  for (const std::string& cusp : d.takes) in.points.emplace(cusp, shallow);
  CHECK(in_words(d, d.measure(in)) == "2.25 mm deep");
  in.points.erase("45.buccal_cusp");
  in.points.erase("43.cusp_tip");
  CHECK(in_words(d, d.measure(in)) == "2.25 mm deep, read at 4 of 6 cusps");
}

TEST_CASE("a reverse curve of Spee is negative by its highest cusp") {
  MeasureInput in = spee_example();
  for (auto& [name, at] : in.points) at.z() = -at.z();
  CHECK(std::abs(read(in, "curve_of_spee_right").value + 2.252) < 1e-3);
}
