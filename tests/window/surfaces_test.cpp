// Arches, jaw bones and roots opened from files: taken for what they are, named otherwise, and laid on each other.
#include <doctest/doctest.h>

#include <algorithm>

#include "app/work/opening.h"
#include "app/work/surfaces.h"
#include "casebook/case_file.h"
#include "casebook/recipe_link.h"
#include "formats/mesh_reader.h"
#include "formats/mesh_writer.h"
#include "stage.h"

namespace intercusp::window {

namespace {

Mesh side_by_side(Mesh a, const Mesh& b) {
  const auto first = static_cast<std::uint32_t>(a.positions.size());
  a.positions.insert(a.positions.end(), b.positions.begin(), b.positions.end());
  for (const Triangle& t : b.triangles) a.triangles.push_back({t[0] + first, t[1] + first, t[2] + first});
  return a;
}

/// A sample's surfaces as scanner and CT give them: the arches 4 mm off the bone, which has crowns of its own.
struct RawRecords {
  Case made = case_from_sample("class3", std::nullopt, 20000, true).value();
  Pose off{Eigen::Translation3d(2, -3, 2) * Eigen::AngleAxisd(0.05, Vec3(1, 2, -1).normalized())};

  Mesh mesh(const std::string& body) const { return made.find_body(body)->surface->mesh(); }
  Bytes arch(const std::string& body) const { return write_stl(transformed(mesh(body), off)); }
  Bytes bone(const std::string& jaw) const { return write_stl(side_by_side(mesh(jaw + "_bone"), mesh(jaw + "_arch"))); }
};

const RawRecords& raw() {
  static const RawRecords records;
  return records;
}

/// Does an errand when it is told to answer.
struct HeldRunner : ErrandRunner {
  ErrandBench bench;
  std::optional<Errand> held;
  bool answers = false;
  void start(Errand errand) override { held = std::move(errand); }
  std::optional<ErrandAnswer> take() override {
    if (!held || !answers) return std::nullopt;
    Errand errand = std::move(*held);
    held.reset();
    return bench.run(errand, Progress());
  }
  void cancel() override { held.reset(); }
  double fraction() const override { return 0; }
};
struct HeldHost : StageHost {
  HeldRunner runner;
  ErrandRunner* errand_runner() override { return &runner; }
};

std::vector<std::string> bodies_of(Stage& stage) {
  std::vector<std::string> names;
  const nlohmann::json bodies = stage.state()["case"]["bodies"];
  for (const auto& body : bodies) names.push_back(body["name"]);
  return names;
}

}  // namespace

TEST_CASE("records: jaw bones and roots are opened beside the scans, and the scans laid on the bone") {
  Stage stage({1366, 768});
  const auto open = [&](const char* name, const Bytes& bytes) { REQUIRE(stage.app().open_file(name, bytes).ok()); };
  open("scan upper.stl", raw().arch("upper_arch"));
  open("scan lower.stl", raw().arch("lower_arch"));
  open("upper_roots.stl", write_stl(raw().mesh("upper_roots")));  // no bone to lie on
  open("ct_maxilla.stl", raw().bone("upper"));
  open("export 2.stl", raw().bone("lower"));  // by its size, and since the upper one is there
  open("lower_roots.stl", write_stl(raw().mesh("lower_roots")));
  CHECK(bodies_of(stage) ==
        std::vector<std::string>{"upper_arch", "lower_arch", "upper_roots", "upper_bone", "lower_bone", "lower_roots"});
  CHECK(stage.state()["units_question"].is_null());
  CHECK_FALSE(stage.text_with("Lay the scans on the bone").empty());

  stage.click("lay_on_bone");
  stage.frames(200);
  CHECK_FALSE(stage.text_with("The scans and their landmarks were moved onto the bone by").empty());
  const auto said = stage.act("lay_on_bone")["said"];
  CHECK(said.dump().find("The scans lie on the bone as they were given.") != std::string::npos);
  // The scan lies where the generator had it, and goes back.
  const auto farthest_off = [&] {
    stage.host().offered.clear();
    stage.act("export", {{"body", "upper_arch"}});
    const Bytes& stl = stage.host().offered.begin()->second;
    const Mesh now = read_mesh(stl.data(), stl.size(), "now.stl").value().mesh;
    const Box here = bounds(now), there = bounds(raw().mesh("upper_arch"));
    return std::max((here.min() - there.min()).norm(), (here.max() - there.max()).norm());
  };
  CHECK(farthest_off() < 0.05);
  stage.act("undo");
  CHECK(farthest_off() > 1);
  stage.frames(3);
  CHECK(stage.text_with("moved onto the bone by").empty());  // it does not lie there any more
}

TEST_CASE("records: a case from a file is not asked to lay its scans on its bone") {
  Stage stage({1366, 768});
  Case kept = raw().made;
  kept.recipe.clear();
  REQUIRE(stage.app().open_file("kept.glb", write_case(kept)).ok());
  stage.act("stop", {{"name", "records"}});
  CHECK(stage.text_with("Lay the scans on the bone").empty());
  CHECK_FALSE(stage.text_with("Lay them on the bone again").empty());
}

TEST_CASE("records: scans are not laid over what was done meanwhile") {
  HeldHost host;
  Workspace w(host);
  Case opened = raw().made;
  opened.recipe.clear();
  take_case(w, opened);
  REQUIRE(lay_on_bone(w).ok());
  (void)w.errands.poll();  // it is under way
  opened.id = "renamed";
  w.document.change(opened, "Renamed");
  host.runner.answers = true;
  const std::vector<Error> troubles = w.errands.poll();
  REQUIRE(troubles.size() == 1);
  CHECK(troubles[0].what == "the case changed while the scans were being laid");
  CHECK(w.now().id == "renamed");
  CHECK(w.laying.words.empty());
}

TEST_CASE("records: what a surface is taken for can be changed, and changed back") {
  Stage stage({1366, 768});
  REQUIRE(stage.app().open_file("a.stl", raw().arch("lower_arch")).ok());
  REQUIRE(stage.app().open_file("b.stl", raw().arch("upper_arch")).ok());
  CHECK(bodies_of(stage) == std::vector<std::string>{"upper_arch", "lower_arch"});
  stage.act("stop", {{"name", "records"}});
  const auto triangles = [&](std::size_t i) { return stage.state()["case"]["bodies"][i]["triangles"]; };
  const auto first = triangles(0);
  stage.click("role.upper_arch");
  stage.frames(3);
  stage.click("role.upper_arch.lower_arch");
  stage.frames(3);
  CHECK(bodies_of(stage) == std::vector<std::string>{"lower_arch", "upper_arch"});
  CHECK(triangles(0) == first);
  stage.act("undo");
  CHECK(bodies_of(stage) == std::vector<std::string>{"upper_arch", "lower_arch"});
  CHECK_FALSE(stage.app().act("surface_role", {{"body", "upper_arch"}, {"role", "cap"}}).ok());
  stage.act("open_sample", {{"name", "class1"}, {"triangles", 20000}});
  CHECK_FALSE(stage.app().act("surface_role", {{"body", "upper_arch"}, {"role", "lower_arch"}}).ok());
  CHECK_FALSE(stage.app().act("lay_on_bone", nlohmann::json::object()).ok());
}

}  // namespace intercusp::window
