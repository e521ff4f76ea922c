#include "anatomy/upper_arch.h"

#include <cmath>

#include "anatomy/fixed_random.h"
#include "anatomy/notation.h"

namespace intercusp {

namespace {

/// Angle that the labial surface of the upright crown makes with its axis: what a stance must add to reach an
/// inclination.
constexpr double kUpperFacialAngle = 12.9, kUpperLateralFacialAngle = 12.6, kLowerFacialAngle = 12.7;

/// The line of contacts is squarer than the beta form of the outer edges: chosen so that average teeth meet average
/// widths.
constexpr double kLineExponent = 0.42;

void vary(Stance& stance, FixedRandom& random, double irregularity, bool fixed_level) {
  stance.rotation_deg += irregularity * random.between(-2.5, 2.5);
  stance.angulation_deg += irregularity * random.between(-1.2, 1.2);
  stance.inclination_deg += irregularity * random.between(-1.0, 1.0);
  const double level = irregularity * random.between(-0.12, 0.12);
  if (!fixed_level) stance.level_mm += level;
}

Stance recipe_stance(const JawRecipe& recipe, int iso) {
  Stance s = usual_stance(iso);
  if (position(iso) == 1 && is_upper(iso)) s.inclination_deg = recipe.upper_incisor_inclination_deg + kUpperFacialAngle;
  if (position(iso) == 2 && is_upper(iso))
    s.inclination_deg = recipe.upper_lateral_inclination_deg + kUpperLateralFacialAngle;
  if (is_incisor(iso) && !is_upper(iso))
    s.inclination_deg = recipe.lower_incisor_inclination_deg + kLowerFacialAngle - (position(iso) == 2 ? 1.5 : 0.0);
  // In an open bite the upper side segments hang below the line from the front teeth to the molars.
  if (is_upper(iso) && recipe.overbite_mm < 0) {
    constexpr std::array<double, 7> kHang{0, .02, .16, .2, .13, 0, 0};
    s.level_mm += recipe.overbite_mm * kHang[static_cast<std::size_t>(position(iso) - 1)];
  }
  return s;
}

void centre_on_edges(UpperArch& arch) {
  const Vec3 right = tooth_of(arch.teeth, 11).placed.world(tooth_of(arch.teeth, 11).marks.front().at);
  const Vec3 left = tooth_of(arch.teeth, 21).placed.world(tooth_of(arch.teeth, 21).marks.front().at);
  const Vec2 by = -0.5 * (right + left).head<2>();
  arch.apex += by;
  for (ArchTooth& tooth : arch.teeth) tooth.shift(by);
}

void stand(UpperArch& arch) {
  const ArchLine line = ArchLine::from_beta(arch.form);
  arch.apex = Vec2::Zero();
  for (const double side : {1.0, -1.0}) lay_out_half(arch.teeth, side, line, arch.apex);
  centre_on_edges(arch);
}

double tip_width(const ArchTeeth& teeth, int right, int left) {
  const auto tip = [&](int iso) { return tooth_of(teeth, iso).placed.world(tooth_of(teeth, iso).marks.front().at); };
  return (tip(right) - tip(left)).norm();
}

/// Widths over what is asked, for a given arch form.
Vec2 width_error(UpperArch& arch, const JawRecipe& recipe, const Vec2& width_and_depth) {
  arch.form = {width_and_depth.x(), width_and_depth.y(), kLineExponent};
  stand(arch);
  return {tip_width(arch.teeth, 13, 23) - recipe.intercanine_upper_mm,
          tip_width(arch.teeth, 16, 26) - recipe.intermolar_upper_mm};
}

/// Front teeth that lack room stand alternately inside and outside of the line; a squeezed premolar stands inside.
void crowd(ArchTooth& tooth, const JawRecipe& recipe) {
  const int iso = tooth.iso(), n = position(iso);
  const double lacks = is_upper(iso) ? recipe.crowding_upper_mm : recipe.crowding_lower_mm;
  const double drift = !is_upper(iso) ? 0.0 : is_right(iso) ? recipe.drift_right_mm : recipe.drift_left_mm;
  double missing = 0;
  if (n <= 3 && lacks > 0) {
    missing = lacks / 6;
    tooth.outwards_mm = (n == 2 ? -0.45 : 0.15) * lacks / 2;
    tooth.stance.rotation_deg += (n == 1 ? 2.0 : -1.5) * lacks;
  } else if (n == 5 && drift > 0) {
    missing = drift;
    tooth.outwards_mm = -0.55 * drift;
  }
  if (missing > 0) tooth.room_share = 1 - missing / tooth.placed.form.width;
}

double own_size(const JawRecipe& recipe, int iso) {
  if (is_upper(iso)) return position(iso) == 2 ? recipe.upper_lateral_size : 1;
  return position(iso) <= 3 ? recipe.lower_front_size : 1;
}

}  // namespace

ArchTeeth make_teeth(const JawRecipe& recipe, bool upper) {
  FixedRandom random(recipe.seed * 2 + (upper ? 1 : 0));
  // Both arches of a person are large or small together.
  const double everyone = recipe.size_variation * FixedRandom(recipe.seed ^ 0xa11).between(-1, 1);
  std::array<double, 8> scale{};
  for (double& s : scale) s = 1 + 0.7 * everyone + 0.3 * recipe.size_variation * random.between(-1, 1);
  ArchTeeth teeth;
  const auto add = [&](int iso) {
    CrownVariation variation;
    variation.scale = scale[static_cast<std::size_t>(position(iso))] * own_size(recipe, iso);
    ArchTooth tooth;
    tooth.placed.form = crown_form(iso, variation);
    tooth.marks = crown_marks(tooth.placed.form);
    tooth.stance = recipe_stance(recipe, iso);
    vary(tooth.stance, random, recipe.irregularity, upper && (position(iso) == 1 || position(iso) == 6));
    crowd(tooth, recipe);
    teeth.push_back(std::move(tooth));
  };
  for (int n = 7; n >= 1; --n) add((upper ? 10 : 40) + n);
  for (int n = 1; n <= 7; ++n) add((upper ? 20 : 30) + n);
  return teeth;
}

Result<UpperArch> stand_upper(const JawRecipe& recipe) {
  UpperArch arch;
  arch.teeth = make_teeth(recipe, true);
  Vec2 x(recipe.intermolar_upper_mm, 40);
  for (int round = 0; round < 30; ++round) {
    const Vec2 error = width_error(arch, recipe, x);
    if (error.norm() < 1e-10) return arch;
    constexpr double h = 1e-4;
    Eigen::Matrix2d slope;
    for (int k = 0; k < 2; ++k) slope.col(k) = (width_error(arch, recipe, x + h * Vec2::Unit(k)) - error) / h;
    const Vec2 step = slope.inverse() * error;
    if (!step.allFinite()) break;
    x -= step * std::min(1.0, 4.0 / step.norm());
    if (x.x() < 40 || x.x() > 90 || x.y() < 20 || x.y() > 80) break;
  }
  return Error{"no arch form has these widths between the canines and between the molars", "recipe, upper arch",
               "ask for an intercanine width near 0.63 of the intermolar width"};
}

}  // namespace intercusp
