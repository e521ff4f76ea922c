#include "occlusion/pieces_fit.h"

#include <doctest/doctest.h>

#include "anatomy/fixed_random.h"
#include "anatomy/sample_jaws.h"
#include "geometry/cut.h"
#include "occlusion/chewing_samples.h"

using namespace intercusp;

namespace {

/// A sample's upper arch in two, the right half 1 mm too far to the right and both turned a little, with its problem.
struct HalvedBite {
  PiecedArch arch;
  SettleSettings settings;
  PiecesProblem problem;
  std::unique_ptr<PieceTies> ties;

  HalvedBite() {
    JawRecipe recipe = find_sample("class1").value();
    recipe.triangles = 20000;
    const SampleJaws jaws = make_sample(recipe).value();
    for (const auto& [name, landmark] : jaws.landmarks) arch.input.points[name] = landmark.at;
    arch.input.lower = {Surface::make(jaws.bodies[1].mesh), Pose::Identity()};
    const OcclusalFrame frame = maxillary_occlusal_frame(arch.input.points).value();
    const Vec3 middle = 0.5 * (arch.input.points.at("11.contact_mesial") + arch.input.points.at("21.contact_mesial"));
    const CutResult halves = cut_mesh(jaws.bodies[0].mesh, CutSurface::plane(middle, frame.left), 0).value();
    arch.pieces = {{"maxilla_right", {Surface::make(halves.negative), Pose::Identity()}, Pose::Identity()},
                   {"maxilla_left", {Surface::make(halves.positive), Pose::Identity()}, Pose::Identity()}};
    for (const auto& [name, at] : arch.input.points) {
      if (jaw_of_landmark(name) == Jaw::upper) arch.piece_of[name] = (at - middle).dot(frame.left) > 0 ? 1 : 0;
    }
    ties = std::make_unique<PieceTies>(arch, settings);
    problem.ties = ties.get();
    for (std::size_t piece = 0; piece < 2; ++piece) {
      SeatProblem own;
      own.upper = arch.pieces[piece].arch;
      own.lower = arch.input.lower;
      PointMap marks;
      for (const auto& [name, of] : arch.piece_of)
        if (of == piece) marks[name] = arch.input.points.at(name);
      own.upper_samples = thinned(chewing_points_of(own.upper, chewing_marks(marks, Jaw::upper), -frame.up), 1.4);
      own.lower_samples =
          thinned(chewing_points_of(own.lower, chewing_marks(arch.input.points, Jaw::lower), frame.up), 1.4);
      problem.pieces.push_back(std::move(own));
    }
  }

  double cost(const PiecesState& state, double reach_mm) const {
    SeatStage look;
    look.reach_mm = reach_mm;
    look.steps = 0;
    return fit_pieces(problem, state, look).cost;
  }
};

Pose small_motion(const Vec3& about, const Vec3& shift, const Vec3& turn_deg) {
  Pose out = Pose::Identity();
  const double angle = radians(turn_deg.norm());
  if (angle > 0) out.linear() = Eigen::AngleAxisd(angle, turn_deg.normalized()).toRotationMatrix();
  out.translation() = about - out.linear() * about + shift;
  return out;
}

PiecesState moved_along(PiecesState state, int unknown, double by) {
  SeatState& piece = state.pieces[static_cast<std::size_t>(unknown / 6)];
  Vec3 shift = Vec3::Zero(), turn = Vec3::Zero();
  (unknown % 6 < 3 ? shift : turn)[unknown % 3] = by;
  const Vec3 about(unknown < 6 ? -20 : 20, 25, 0);
  piece.motion = small_motion(about, shift, turn) * piece.motion;
  return state;
}

/// Compass search: along each unknown there and back, half the step where nothing is better. Needs values alone.
template <class Cost>
PiecesState searched(PiecesState state, const Cost& cost, double step, double least) {
  double best = cost(state);
  while (step > least) {
    bool better = false;
    for (int unknown = 0; unknown < 12; ++unknown) {
      for (const double by : {step, -step}) {
        const PiecesState next = moved_along(state, unknown, by);
        const double there = cost(next);
        if (there >= best) continue;
        state = next;
        best = there;
        better = true;
        break;
      }
    }
    if (!better) step *= 0.5;
  }
  return state;
}

}  // namespace

// A general search that knows no slopes (Hooke and Jeeves 1961, "Direct search", in its simplest form) as the judge of
// the fit and of the slopes it goes by.
TEST_CASE("no search around the pieces finds a place that costs less") {
  const HalvedBite bite;
  PiecesState start;
  start.pieces.resize(2);
  start.pieces[0].motion = small_motion({-20, 25, 0}, {0.3, 0.1, -0.1}, {0.4, 0.8, -0.5});
  start.pieces[1].motion = small_motion({20, 25, 0}, {-0.2, 0.2, 0.1}, {-0.4, 0.3, 0.6});
  SeatStage stage;
  stage.reach_mm = 0.6;
  stage.steps = 60;
  stage.least_gain = 1e-10;
  PiecesState fitted = start;
  for (int round = 0; round < 3; ++round)
    fitted = fit_pieces(bite.problem, fitted, stage);  // each takes the whole anew
  const auto cost = [&](const PiecesState& state) { return bite.cost(state, 0.6); };
  CHECK(fitted.cost == doctest::Approx(cost(fitted)).epsilon(1e-6));
  const double around = cost(searched(fitted, cost, 0.02, 0.002));
  const double from_start = cost(searched(start, cost, 0.2, 0.01));
  MESSAGE("cost " << cost(start) << " at the start, " << fitted.cost << " fitted, " << around
                  << " searched from there, " << from_start << " from the start");
  CHECK(fitted.cost < cost(start) - 0.04);
  CHECK(around > fitted.cost - 1e-4);
  CHECK(from_start > fitted.cost - 5e-3);  // of several valleys 0.1 mm apart
}

TEST_CASE("what ties pieces: nothing while they lie as one, and each limit by itself") {
  const HalvedBite bite;
  const auto cost_of = [&](const Pose& right, const Pose& left) {
    SettleSolution s;
    bite.ties->report({right, left}, s);
    return s;
  };
  const Pose still = Pose::Identity(), together = small_motion({0, 0, 0}, {3, 2, 1}, {5, -4, 3});
  const SettleSolution none = cost_of(together, together);
  CHECK(none.cost.total() == doctest::Approx(0));
  CHECK(*none.molar_expansion_mm == doctest::Approx(0));
  const Pose apart = small_motion({0, 0, 0}, {2, 0, 0}, {0, 0, 0}),
             in = small_motion({0, 0, 0}, {-0.5, 0, 0}, {0, 0, 0});
  const SettleSolution wide = cost_of(still, apart), tight = cost_of(still, in);
  CHECK(wide.cuts[0].space_mm == doctest::Approx(2).epsilon(0.01));
  CHECK(wide.cuts[0].teeth == std::array<int, 2>{11, 21});
  CHECK(*wide.molar_expansion_mm == doctest::Approx(2).epsilon(0.02));
  CHECK(wide.cost.steps + wide.cost.neighbours + wide.cost.expansion == 0);
  CHECK(tight.cuts[0].space_mm == doctest::Approx(-0.5).epsilon(0.02));
  CHECK(tight.cost.neighbours == doctest::Approx(4).epsilon(0.05));
  const SettleSolution up = cost_of(still, small_motion({0, 0, 0}, {0, 0, 4}, {0, 0, 0}));
  CHECK(up.cuts[0].step_mm == doctest::Approx(4).epsilon(1e-6));
  CHECK(up.cost.steps == doctest::Approx(1).epsilon(1e-6));
  const SettleSolution far = cost_of(still, small_motion({0, 0, 0}, {10, 0, 0}, {0, 0, 0}));
  CHECK(far.cost.expansion ==
        doctest::Approx(*far.molar_expansion_mm - 8 + *far.canine_expansion_mm - 5).epsilon(1e-9));
}
