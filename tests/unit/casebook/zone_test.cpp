#include "casebook/zone.h"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "casebook/case_file.h"
#include "casebook/digest.h"
#include "casebook/small_case.h"

using namespace intercusp;
using doctest::Approx;
using nlohmann::json;

namespace {

// Two sheets of 20 x 20 mm a millimetre apart, each facing away from the other: thin bone. Points every 0.25 mm.
SurfacePtr thin_plate() {
  constexpr int n = 81;
  Mesh mesh;
  for (const bool upper : {true, false}) {
    const auto base = static_cast<std::uint32_t>(mesh.positions.size());
    for (int i = 0; i < n; ++i)
      for (int j = 0; j < n; ++j)
        mesh.positions.push_back(
            {0.25f * static_cast<float>(i) - 10, 0.25f * static_cast<float>(j) - 10, upper ? 0.5f : -0.5f});
    for (std::uint32_t i = 0; i + 1 < n; ++i)
      for (std::uint32_t j = 0; j + 1 < n; ++j) {
        const std::uint32_t a = base + i * n + j, b = a + n, c = b + 1, d = a + 1;
        mesh.triangles.push_back(upper ? Triangle{a, b, c} : Triangle{a, c, b});
        mesh.triangles.push_back(upper ? Triangle{a, c, d} : Triangle{a, d, c});
      }
  }
  return Surface::make(std::move(mesh));
}

Zone one_dab(double radius, bool erase = false) {
  return {"lower_arch", {{Vec3(0, 0, 0.5), Vec3::UnitZ(), radius, erase}}};
}

}  // namespace

TEST_CASE("a dab paints the disc under the brush, and thin bone keeps its other side clean") {
  const SurfacePtr plate = thin_plate();
  std::vector<std::uint8_t> painted;
  paint(*plate, one_dab(4), 0, painted);
  CHECK(painted_area_mm2(*plate, painted) == Approx(3.14159265 * 16).epsilon(0.03));
  for (std::size_t i = 0; i < painted.size(); ++i)
    if (painted[i]) CHECK(plate->mesh().positions[i].z() > 0);
}

TEST_CASE("strokes count in their order, all at once or one after another") {
  const SurfacePtr plate = thin_plate();
  Zone zone = one_dab(5);
  zone.dabs.push_back({Vec3(0, 0, 0.5), Vec3::UnitZ(), 3, true});
  zone.dabs.push_back({Vec3(1, 0, 0.5), Vec3::UnitZ(), 1, false});
  std::vector<std::uint8_t> whole, stepwise;
  paint(*plate, zone, 0, whole);
  paint(*plate, {zone.body, {zone.dabs[0]}}, 0, stepwise);
  paint(*plate, zone, 1, stepwise);
  CHECK(whole == stepwise);
  // A ring of 5 less 3 mm, with a disc of 1 mm in it.
  CHECK(painted_area_mm2(*plate, whole) == Approx(3.14159265 * (25 - 9 + 1)).epsilon(0.03));
}

TEST_CASE("a case keeps its zones, and no agreement rests on them") {
  Case c = test::small_case();
  c.plans.push_back({"A", {}, "upper"});
  const std::string digest = plan_digest(c, c.plans[0]);
  const auto bare = write_case(c);
  c.zones = {one_dab(2.5), {"upper_arch", {{Vec3(1, 2, 3), Vec3::UnitY(), 1, true}}}};
  CHECK(plan_digest(c, c.plans[0]) == digest);
  const auto bytes = write_case(c);
  const auto back = read_case(bytes.data(), bytes.size());
  REQUIRE(back.ok());
  REQUIRE(back.value().zones.size() == 2);
  CHECK(back.value().zones[0].dabs == c.zones[0].dabs);
  CHECK(back.value().zones[1].dabs == c.zones[1].dabs);
  CHECK(write_case(back.value()) == bytes);
  c.zones.clear();
  CHECK(write_case(c) == bare);
}

TEST_CASE("zones that cannot be are refused, each with its place") {
  const auto refused = [](const char* text) {
    const auto zones = zones_from_json(json::parse(text));
    REQUIRE(!zones.ok());
    return zones.error().where;
  };
  CHECK(refused(R"({})") == "zones");
  CHECK(refused(R"([{"dabs": []}])") == "zones[0]");
  CHECK(refused(R"([{"name": "x", "dabs": 3}])") == "zones[0]");
  CHECK(refused(R"([{"name": "x", "dabs": [[0, 0, 0, 0, 0, 1]]}])") == "zones[0]");
  CHECK(refused(R"([{"name": "x", "dabs": [[0, 0, 0, 0, 0, 2, 1]]}])") == "zones[0]");
  CHECK(refused(R"([{"name": "x", "dabs": [[0, 0, 0, 0, 0, 1, 99]]}])") == "zones[0]");
  CHECK(refused(R"([{"name": "x", "dabs": []}, {"name": "y", "dabs": [[0, 0, null, 0, 0, 1, 1]]}])") == "zones[1]");
}
