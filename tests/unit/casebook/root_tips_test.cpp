#include "casebook/root_tips.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>

#include "anatomy/notation.h"
#include "casebook/bone_case.h"
#include "casebook/cut_case.h"
#include "geometry/mesh.h"

using namespace intercusp;
using doctest::Approx;
using test::sample_with_bone;

namespace {

bool names_tip(const std::string& landmark) {
  return landmark.size() > 3 && landmark.compare(2, 5, ".apex") == 0;
}

/// As a CT gives it: nobody marked a root's tip.
Case without_tips(Case c) {
  for (auto it = c.landmarks.begin(); it != c.landmarks.end();) {
    it = names_tip(it->first) ? c.landmarks.erase(it) : std::next(it);
  }
  return c;
}

Case with_body(Case c, const std::string& name, Mesh mesh) {
  for (Body& body : c.bodies)
    if (body.name == name) body = make_body(name, Surface::make(std::move(mesh)));
  return c;
}

/// One shell of all roots: a strip between each root and the one that lies nearest to it on its other side.
Mesh joined(const Surface& roots) {
  Mesh mesh = roots.mesh();
  const Topology& topology = roots.topology();
  const std::size_t shells = topology.shell_vertex.size();
  std::vector<std::uint32_t> part(shells);
  for (std::size_t i = 0; i < shells; ++i) part[i] = static_cast<std::uint32_t>(i);
  while (std::set<std::uint32_t>(part.begin(), part.end()).size() > 1) {
    float best = 1e9f;
    std::uint32_t a = 0, b = 0;
    for (std::uint32_t i = 0; i < mesh.positions.size(); i += 7) {
      if (topology.shell[i] == kNoTriangle || part[topology.shell[i]] != part[0]) continue;
      for (std::uint32_t k = 0; k < mesh.positions.size(); k += 7) {
        if (topology.shell[k] == kNoTriangle || part[topology.shell[k]] == part[0]) continue;
        const float d = (mesh.positions[i] - mesh.positions[k]).squaredNorm();
        if (d < best) best = d, a = i, b = k;
      }
    }
    const auto joined_part = part[topology.shell[b]];
    for (auto& p : part)
      if (p == joined_part) p = part[0];
    const auto third = *std::find_if(mesh.triangles[topology.around[topology.around_begin[a]]].begin(),
                                     mesh.triangles[topology.around[topology.around_begin[a]]].end(),
                                     [&](std::uint32_t v) { return v != a; });
    mesh.triangles.push_back({a, b, third});
  }
  return mesh;
}

/// The highest tip of each tooth that has one marked.
std::map<int, Vec3> marked_tips(const Case& c) {
  std::map<int, Vec3> tips;
  for (const auto& [name, landmark] : c.landmarks) {
    if (!names_tip(name)) continue;
    const int tooth = std::stoi(name.substr(0, 2));
    const double apical = is_upper(tooth) ? 1 : -1;
    const Vec3 at = c.patient_from_scans * landmark.at;
    const auto [tip, first] = tips.try_emplace(tooth, at);
    if (!first && apical * at.z() > apical * tip->second.z()) tip->second = at;
  }
  return tips;
}

}  // namespace

TEST_CASE("tips of roots are found where nobody marked them, and called by their own tooth") {
  const Case& marked = sample_with_bone();
  const Case bare = without_tips(marked);
  REQUIRE(marked_tips(bare).empty());
  std::vector<Case> cases{bare};
  cases.push_back(with_body(bare, "upper_roots", joined(*bare.find_body("upper_roots")->surface)));
  REQUIRE(cases.back().find_body("upper_roots")->surface->topology().shell_vertex.size() == 1);
  for (const Case& c : cases) {
    const std::map<int, Vec3> truth = marked_tips(marked), found = marked_tips(with_root_tips(c));
    REQUIRE(found.size() == truth.size());
    for (const auto& entry : truth) {
      const int tooth = entry.first;
      const Vec3 tip = entry.second;
      CAPTURE(tooth);
      REQUIRE(found.count(tooth) == 1);
      CHECK((found.at(tooth) - tip).norm() < 0.9);  // a leaning root's highest point is beside its tip
      CHECK(std::abs((found.at(tooth) - tip).z()) < 0.3);
    }
  }
  const Case once = with_root_tips(bare);
  CHECK_FALSE(once.landmarks.at("13.apex").confirmed);
  CHECK(with_root_tips(marked).landmarks == marked.landmarks);
}

TEST_CASE("a Le Fort I lies above roots that nobody marked, and says how near they are") {
  const Case& marked = sample_with_bone();
  const Case bare = without_tips(marked);
  const Osteotomy cut = make_osteotomy(CutKind::lefort1, {}).value();
  const auto truth = place_cut(marked, cut), found = place_cut(bare, cut);
  REQUIRE(truth.ok());
  REQUIRE(found.ok());
  const Vec3 above_canine = marked.patient_from_scans * marked.landmarks.at("13.apex").at;
  CHECK(found.value().sawings[0].surface.value(above_canine) ==
        Approx(truth.value().sawings[0].surface.value(above_canine)).epsilon(0.1));
  const auto roots = [](const PlacedCut& placed) {
    return std::count_if(placed.clearances.begin(), placed.clearances.end(),
                         [](const CutClearance& row) { return row.landmark.find(".root") != std::string::npos; });
  };
  CHECK(roots(found.value()) == 14);
  CHECK(roots(truth.value()) == 14);
  CHECK(found.value().clearances.front().distance_mm == Approx(5).epsilon(0.02));
  CHECK(lacking_of(found.value().levels).empty());
  // A cut through them is refused, by name.
  Case low = bare;
  low.plans.push_back(
      {"low", {cut_entry(make_osteotomy(CutKind::lefort1, {{"level_right_mm", -8}, {"level_left_mm", -8}}).value())}});
  const auto through = with_cuts(low, &low.plans.back());
  REQUIRE_FALSE(through.ok());
  CHECK(through.error().what.find("meets a root: ") != std::string::npos);
}

TEST_CASE("a third molar's root behind the marked teeth is called by its own number") {
  Case bare = without_tips(sample_with_bone());
  for (auto it = bare.landmarks.begin(); it != bare.landmarks.end();)
    it = it->first.rfind("17.", 0) == 0 ? bare.landmarks.erase(it) : std::next(it);
  std::set<int> teeth;
  for (const RootPart& part : root_parts(bare)) teeth.insert(part.tooth);
  CHECK(teeth.count(17) == 1);
  CHECK(teeth.size() == 28);
}

TEST_CASE("where neither roots nor tips are known the level says what it is counted from") {
  Case bare = without_tips(sample_with_bone());
  bare.bodies.erase(
      std::remove_if(bare.bodies.begin(), bare.bodies.end(), [](const Body& body) { return holds_roots(body.name); }),
      bare.bodies.end());
  const Osteotomy cut = make_osteotomy(CutKind::lefort1, {{"level_right_mm", 6}, {"level_left_mm", 6}}).value();
  const auto placed = place_cut(bare, cut);
  REQUIRE(placed.ok());
  REQUIRE(placed.value().levels.size() == 2);
  const CutLevel& level = placed.value().levels.front();
  CHECK(level.from == "above the nasal floor");
  // The near side of the saw above the higher of ANS and PNS, by the words' own number.
  double floor = -1e9;
  for (const char* spine : {"ANS", "PNS"})
    floor = std::max(floor, (bare.patient_from_scans * bare.landmarks.at(spine).at).z());
  const Vec3 under_saw(0, 20, floor + level.mm);
  CHECK(placed.value().sawings[0].surface.value(under_saw) == Approx(-0.5 * cut.kerf_mm()).epsilon(1e-6));
  REQUIRE(lacking_of(placed.value().levels).size() == 1);
  CHECK(lacking_of(placed.value().levels).front() ==
        "No upper root tip is known: the level is counted from the nasal floor, and no root is measured");
}
