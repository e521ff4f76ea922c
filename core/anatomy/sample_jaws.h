#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "anatomy/landmarks.h"
#include "base/result.h"
#include "geometry/mesh.h"

namespace intercusp {

/// What a generated jaw is asked to be. Lengths mm in the occlusal frame, signs as in docs/methods.md.
struct JawRecipe {
  std::string name;                  ///< sample name, e.g. "class3"
  std::string title;                 ///< one line for people
  std::uint64_t seed = 1;            ///< of the small individual differences below
  std::uint32_t triangles = 100000;  ///< of each arch, within 10%; 20,000..1,000,000
  double irregularity = 1;           ///< 0..1: small rotations and tilts of single teeth; 0 = the plain form
  double size_variation = 0;         ///< 0..0.08: spread of tooth sizes about the tooth table, as a fraction
  double overjet_mm = 2.5;           ///< of the pair with the larger magnitude
  double overbite_mm = 2.5;          ///< of the same pair
  double midline_mm = 0;             ///< upper relative to lower, + to the patient's left
  double molar_right_mm = 0, molar_left_mm = 0;  ///< + Class II direction
  double intercanine_upper_mm = 33.8, intermolar_upper_mm = 53.5;
  double upper_incisor_inclination_deg = 6.1, upper_lateral_inclination_deg = 4.4;  ///< of the labial surface
  double lower_incisor_inclination_deg = -1.7;
  double crossbite_right_mm = 0, crossbite_left_mm = 0;  ///< lower back teeth further outwards on that side
  double drift_right_mm = 0, drift_left_mm = 0;  ///< upper molars forward of their place, the second premolar squeezed
  double crowding_upper_mm = 0, crowding_lower_mm = 0;  ///< room that the six front teeth lack; they stand staggered
  double upper_lateral_size = 1, lower_front_size = 1;  ///< of these crowns, against the rest
  // An arch prepared for surgery: made to fit the upper one as the numbers above say, then taken to where it stands
  // before the operation.
  double lower_forward_mm = 0, lower_down_mm = 0;
  // The skeleton, of which only the bones and their points say anything.
  double upper_jaw_forward_mm = 0;  ///< of the upper jaw against the skull; the lower one follows by the overjet
  double face_height_mm = 0;        ///< lower face longer than the average
  double chin_left_mm = 0;          ///< chin to the patient's left of the middle of the skull
  double cant_deg = 0;              ///< roll of the upper arch against the skull, + patient's left side down
  bool with_bone = false;           ///< also makes the bones and the roots of the teeth
  bool crowns_on_bone = false;      ///< and the bones show the crowns, as a CT does
};

struct SampleBody {
  std::string name;  ///< upper_arch, lower_arch, upper_bone, lower_bone, upper_roots, lower_roots
  Mesh mesh;         ///< patient frame, with vertex colours
};

struct SampleJaws {
  JawRecipe recipe;
  std::vector<SampleBody> bodies;
  LandmarkSet landmarks;  ///< exact, patient frame
  /// Measure id -> exact value by construction, taken from the exact landmarks by the definitions of docs/methods.md;
  /// beside `molar_right`, `molar_left` also `molar_right_quarters`, `molar_left_quarters`.
  std::map<std::string, double> truth;
  std::map<std::string, std::string> truth_class;  ///< molar_right, canine_left ... -> "I", "II", "III"
};

/// The built-in samples in display order: class1, class2_div1, class2_div2, class3, open_bite, crossbite,
/// class3_prepared.
const std::vector<JawRecipe>& sample_recipes();

/// Looks a built-in sample up by name.
Result<JawRecipe> find_sample(const std::string& name);

/// A random recipe like one of the first six, within clinical ranges, reproducible from the seed on every platform.
JawRecipe random_recipe(std::uint64_t seed);

/// The landmarks and the truth of a recipe without any surface; with_bone gives the points of the skull as well. As
/// make_sample otherwise, some 0.1 s.
Result<SampleJaws> make_sample_points(const JawRecipe& recipe);

/// Builds the jaws. Deterministic: the same recipe gives the same bytes natively and in the browser to within 1e-6 mm.
/// Error when a parameter lies outside what the generator can make (says which). O(triangles).
Result<SampleJaws> make_sample(const JawRecipe& recipe);

}  // namespace intercusp
