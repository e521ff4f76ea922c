#include "casebook/case_file.h"

#include <doctest/doctest.h>

#include <functional>

#include <nlohmann/json.hpp>

#include "casebook/digest.h"
#include "casebook/small_case.h"
#include "formats/glb.h"

using namespace intercusp;
using nlohmann::json;

namespace {

Case planned_case() {
  Case c = test::small_case();
  c.patient_from_scans = Eigen::Translation3d(1.25, -3, 8) * Eigen::AngleAxisd(0.4, Vec3(1, 1, 0).normalized());
  Plan plan;
  plan.name = "A";
  plan.entries.push_back({"upper", {3.1, 0.2, -0.7, 4, 2, 3}, "16.mesiobuccal_cusp"});
  c.plans.push_back(plan);
  return c;
}

Result<Case> reread(const std::vector<std::uint8_t>& bytes) {
  return read_case(bytes.data(), bytes.size());
}

json& document_of(GlbDocument& glb) {
  return glb.json["extras"]["intercusp"];
}

std::vector<std::uint8_t> edited(const Case& c, const std::function<void(json&)>& edit) {
  const auto bytes = write_case(c);
  auto glb = parse_glb(bytes.data(), bytes.size());
  REQUIRE(glb.ok());
  edit(document_of(glb.value()));
  return serialize_glb(glb.value());
}

}  // namespace

TEST_CASE("what is saved comes back: landmarks and plans bit for bit, meshes by their digest") {
  const Case c = planned_case();
  const auto back = reread(write_case(c));
  REQUIRE(back.ok());
  const Case& r = back.value();
  CHECK(r.id == c.id);
  REQUIRE(r.bodies.size() == 2);
  CHECK(r.bodies[0].mesh_sha256 == c.bodies[0].mesh_sha256);
  CHECK(r.landmarks.at("16.mesiobuccal_cusp").at == c.landmarks.at("16.mesiobuccal_cusp").at);
  CHECK(r.patient_from_scans.matrix() == c.patient_from_scans.matrix());
  REQUIRE(r.plans.size() == 1);
  CHECK(r.plans[0].entries[0].movement.yaw_deg == 3);
  CHECK(r.plans[0].entries[0].about == "16.mesiobuccal_cusp");
  CHECK(plan_digest(r, r.plans[0]) == plan_digest(c, c.plans[0]));
  CHECK(write_case(r) == write_case(c));
}

TEST_CASE("where a landmark comes from and how sure it is comes back, and does not change what was agreed to") {
  Case c = planned_case();
  const std::string before = plan_digest(c, c.plans[0]);
  c.landmarks["16.mesiobuccal_cusp"].origin = Landmark::Origin::placed;
  c.landmarks["16.mesiobuccal_cusp"].confidence = 0.4;
  c.landmarks["condyle_centre_left"] = {Vec3(1, 2, 3), false, Landmark::Origin::proposed, 0.65};
  const auto back = reread(write_case(c));
  REQUIRE(back.ok());
  CHECK(back.value().landmarks == c.landmarks);
  Case marked = planned_case();
  marked.landmarks["16.mesiobuccal_cusp"] = c.landmarks["16.mesiobuccal_cusp"];
  CHECK(plan_digest(marked, marked.plans[0]) == before);
  // Files from before said neither.
  const auto old = reread(edited(c, [](json& d) {
    for (auto& mark : d["landmarks"])
      for (const char* key : {"origin", "confidence"}) mark.erase(key);
  }));
  REQUIRE(old.ok());
  CHECK(old.value().landmarks.at("16.mesiobuccal_cusp").origin == Landmark::Origin::unknown);
  CHECK(old.value().landmarks.at("16.mesiobuccal_cusp").confidence == 1);
  CHECK_FALSE(reread(edited(c, [](json& d) { d["landmarks"]["condyle_centre_left"]["confidence"] = 1.01; })).ok());
}

TEST_CASE("which jaws a plan moves: movements and closings count, cuts alone do not") {
  Plan plan;
  CHECK_FALSE(jaws_moved(plan).upper);
  plan.entries.push_back(cut_entry({}));
  CHECK_FALSE((jaws_moved(plan).upper || jaws_moved(plan).lower));
  plan.entries.push_back({"maxilla_left", {1, 0, 0, 0, 0, 0}, ""});
  CHECK(jaws_moved(plan).upper);
  CHECK_FALSE(jaws_moved(plan).both());
  plan.entries.push_back(closing_entry({}));
  CHECK(jaws_moved(plan).both());
}

TEST_CASE("unknown fields survive a round trip, at the top, in a plan and in a landmark") {
  const auto bytes = edited(planned_case(), [](json& d) {
    d["colour_of_the_year"] = {1, 2, 3};
    d["plans"][0]["mood"] = "calm";
    d["landmarks"]["16.mesiobuccal_cusp"]["placed_by"] = "hand";
    d["settings"]["future"] = 7;
  });
  auto c = reread(bytes);
  REQUIRE(c.ok());
  Case changed = c.value();
  changed.landmarks.erase("26.mesiobuccal_cusp");
  const auto again = write_case(changed);
  auto glb = parse_glb(again.data(), again.size());
  REQUIRE(glb.ok());
  const json& d = document_of(glb.value());
  CHECK(d["colour_of_the_year"] == json({1, 2, 3}));
  CHECK(d["plans"][0]["mood"] == "calm");
  CHECK(d["landmarks"]["16.mesiobuccal_cusp"]["placed_by"] == "hand");
  CHECK(d["settings"]["future"] == 7);
}

TEST_CASE("what was removed does not come back with its unknown fields") {
  const auto bytes = edited(planned_case(), [](json& d) {
    d["landmarks"]["16.mesiobuccal_cusp"]["placed_by"] = "hand";
    d["plans"][0]["mood"] = "calm";
  });
  auto c = reread(bytes);
  REQUIRE(c.ok());
  c.value().landmarks.erase("16.mesiobuccal_cusp");
  c.value().plans.clear();
  const auto back = reread(write_case(c.value()));
  REQUIRE(back.ok());
  CHECK(back.value().landmarks.count("16.mesiobuccal_cusp") == 0);
  CHECK(back.value().plans.empty());
}

TEST_CASE("a newer document is refused with a clear message") {
  const auto c = reread(edited(test::small_case(), [](json& d) { d["version"] = 99; }));
  REQUIRE_FALSE(c.ok());
  CHECK(c.error().what.find("newer version") != std::string::npos);
}

TEST_CASE("malformed documents are refused, each with its key") {
  const std::pair<const char*, std::function<void(json&)>> faults[] = {
      {"version", [](json& d) { d.erase("version"); }},
      {"patient_from_scans", [](json& d) { d["patient_from_scans"][0][0] = 2; }},
      {"landmarks.16.nose",
       [](json& d) {
         d["landmarks"]["16.nose"] = {{"at", {0, 0, 0}}};
       }},
      {"landmarks.16.mesiobuccal_cusp",
       [](json& d) {
         d["landmarks"]["16.mesiobuccal_cusp"]["at"] = {0, 0};
       }},
      {"plans[0].entries[0]", [](json& d) { d["plans"][0]["entries"][0]["up_mm"] = "high"; }},
      {"plans[0].entries[0]", [](json& d) { d["plans"][0]["entries"][0]["up_mm"] = 1e300; }},
      {"extras.intercusp.bodies[0]", [](json& d) { d["bodies"][0]["mesh"] = -4; }},
      {"extras.intercusp.bodies[1]", [](json& d) { d["bodies"][1]["name"] = "upper_arch"; }},
      {"extras.intercusp.bodies[0]", [](json& d) { d["bodies"][0]["sha256"] = "00"; }}};
  for (const auto& fault : faults) {
    const auto c = reread(edited(planned_case(), fault.second));
    CAPTURE(fault.first);
    REQUIRE_FALSE(c.ok());
    CHECK(c.error().where == fault.first);
  }
}

TEST_CASE("every truncation of a case file is an error, never a crash") {
  const auto bytes = write_case(test::small_case());
  for (std::size_t size = 0; size < bytes.size(); size += 7) CHECK_FALSE(read_case(bytes.data(), size).ok());
}
