#include "anatomy/sample_jaws.h"

#include <cmath>

#include "anatomy/arch_colours.h"
#include "anatomy/bone.h"
#include "anatomy/sample_truth.h"
#include "anatomy/seating.h"
#include "anatomy/vertex_snap.h"

namespace intercusp {

namespace {

struct Range {
  const char* what;
  double value, low, high;
};

Status check_recipe(const JawRecipe& r) {
  const Range ranges[] = {
      {"the number of triangles", static_cast<double>(r.triangles), 20000, 1000000},
      {"the irregularity", r.irregularity, 0, 1},
      {"the size variation", r.size_variation, 0, 0.08},
      {"the overjet", r.overjet_mm, -8, 12},
      {"the overbite", r.overbite_mm, -8, 8},
      {"the midline", r.midline_mm, -5, 5},
      {"the right molar relation", r.molar_right_mm, -9, 9},
      {"the left molar relation", r.molar_left_mm, -9, 9},
      {"the upper intercanine width", r.intercanine_upper_mm, 28, 42},
      {"the upper intermolar width", r.intermolar_upper_mm, 42, 62},
      {"the upper incisor inclination", r.upper_incisor_inclination_deg, -25, 30},
      {"the upper lateral incisor inclination", r.upper_lateral_inclination_deg, -25, 30},
      {"the lower incisor inclination", r.lower_incisor_inclination_deg, -25, 25},
      {"the right crossbite", r.crossbite_right_mm, -3, 8},
      {"the left crossbite", r.crossbite_left_mm, -3, 8},
      {"the drift of the right molars", r.drift_right_mm, 0, 5},
      {"the drift of the left molars", r.drift_left_mm, 0, 5},
      {"the upper crowding", r.crowding_upper_mm, 0, 9},
      {"the lower crowding", r.crowding_lower_mm, 0, 9},
      {"the size of the upper laterals in hundredths", 100 * r.upper_lateral_size, 65, 120},
      {"the size of the lower front teeth in hundredths", 100 * r.lower_front_size, 85, 115},
      {"how far forward the lower arch was taken", r.lower_forward_mm, -9, 9},
      {"how far down the lower arch was taken", r.lower_down_mm, 0, 9},
      {"the place of the upper jaw", r.upper_jaw_forward_mm, -9, 9},
      {"the height of the face", r.face_height_mm, -6, 10},
      {"the place of the chin", r.chin_left_mm, -8, 8},
      {"the cant", r.cant_deg, -6, 6},
  };
  for (const Range& range : ranges)
    if (!(range.value >= range.low && range.value <= range.high)) {
      const auto number = [](double v) { return std::to_string(std::lround(v)); };
      return Error{std::string(range.what) + " lies outside what the generator makes", "recipe \"" + r.name + "\"",
                   "choose " + number(range.low) + " to " + number(range.high)};
    }
  return Done{};
}

/// Landmarks of an arch that lie on its surface: all but the root apices.
std::vector<Vec3> surface_points(const LandmarkSet& set, Jaw jaw) {
  std::vector<Vec3> points;
  for (const auto& [name, landmark] : set)
    if (jaw_of_landmark(name) == jaw && name.find(".apex") == std::string::npos) points.push_back(landmark.at);
  return points;
}

/// Flat triangles cut off what is hollow and bridge what is round, by a share of their squared size: coarse meshes are
/// worn by that much more, so that they do not reach into each other.
double wear_gap_for(std::uint32_t triangles) {
  constexpr double kSquaredStep = 20500, kSag = 0.1;  // mm2 for one triangle an arch; mm per mm2
  return ArchField::kWearGap + kSag * kSquaredStep / triangles;
}

Mesh arch_mesh(const ArchTeeth& teeth, const ArchField& exact, const SampleJaws& jaws) {
  const ArchField field = exact.worn_with(wear_gap_for(jaws.recipe.triangles));
  const int molar = field.upper() ? 16 : 46;
  const PlacedTooth& tooth = tooth_of(teeth, molar).placed;
  const Vec3 inside = tooth.world(Vec3(0, tooth.form.centre_y, -0.6 * tooth.form.crown_length));
  Mesh mesh = polygonise_to_count(field, field.box(), jaws.recipe.triangles, inside);
  snap_vertices(mesh, surface_points(jaws.landmarks, field.upper() ? Jaw::upper : Jaw::lower));
  paint_arch(mesh, field);
  return mesh;
}

void add_raphe(LandmarkSet& set, const ArchField& upper) {
  for (const auto& [name, y] : {std::pair{"raphe_anterior", 14.0}, std::pair{"raphe_posterior", 36.0}}) {
    const double rise = surface_along(upper, Vec3(0, y, -4), Vec3::UnitZ(), 30);
    set[name].at = Vec3(0, y, rise - 4);
  }
}

}  // namespace

namespace {

SampleJaws jaws_without_bodies(const JawRecipe& recipe, const SeatedArches& arches) {
  SampleJaws jaws;
  jaws.recipe = recipe;
  jaws.landmarks = arches.landmarks;
  add_raphe(jaws.landmarks, arches.upper_field);
  add_truth(jaws);
  return jaws;
}

}  // namespace

Result<SampleJaws> make_sample_points(const JawRecipe& recipe) {
  if (const Status fine = check_recipe(recipe); !fine) return fine.error();
  auto seated = seat_arches(recipe);
  if (!seated) return seated.error();
  SampleJaws jaws = jaws_without_bodies(recipe, seated.value());
  if (recipe.with_bone) jaws.landmarks.merge(bone_landmarks(recipe, seated.value()));
  return jaws;
}

Result<SampleJaws> make_sample(const JawRecipe& recipe) {
  if (const Status fine = check_recipe(recipe); !fine) return fine.error();
  auto seated = seat_arches(recipe);
  if (!seated) return seated.error();
  const SeatedArches& arches = seated.value();
  SampleJaws jaws = jaws_without_bodies(recipe, arches);
  jaws.bodies.push_back({"upper_arch", arch_mesh(arches.upper, arches.upper_field, jaws)});
  jaws.bodies.push_back({"lower_arch", arch_mesh(arches.lower, arches.lower_field, jaws)});
  if (recipe.with_bone) add_bone(jaws, arches);
  return jaws;
}

}  // namespace intercusp
