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
  std::string name;                ///< sample name, e.g. "class3"
  std::string title;               ///< one line for people
  std::uint64_t seed = 1;          ///< small individual variation (tooth sizes, rotations); 0 = the plain form
  std::uint32_t triangles = 100000;///< aimed at, both arches together 2x; 20,000..1,000,000 per arch
  double overjet_mm = 2.5;
  double overbite_mm = 2.5;
  double midline_mm = 0;           ///< upper relative to lower, + to the patient's left
  double molar_right_mm = 0, molar_left_mm = 0;  ///< + Class II direction
  double intercanine_upper_mm = 34.5, intermolar_upper_mm = 52.0;
  double upper_incisor_inclination_deg = 6.1;
  double crossbite_right_mm = 0, crossbite_left_mm = 0;  ///< lower arch shift outward on one side
  bool with_bone = false;          ///< also makes the simple bone bodies
};

struct SampleBody {
  std::string name;  ///< upper_arch, lower_arch, upper_bone, lower_bone, cranium
  Mesh mesh;         ///< patient frame, with vertex colours
};

struct SampleJaws {
  JawRecipe recipe;
  std::vector<SampleBody> bodies;
  LandmarkSet landmarks;                 ///< exact, patient frame
  std::map<std::string, double> truth;   ///< measure id -> exact value by construction
  std::map<std::string, std::string> truth_class;  ///< molar_right etc. -> "I", "II", "III"
};

/// The built-in samples in display order: class1, class2_div1, class2_div2, class3, open_bite, crossbite.
const std::vector<JawRecipe>& sample_recipes();

/// Looks a built-in sample up by name.
Result<JawRecipe> find_sample(const std::string& name);

/// A random recipe within clinical ranges, all classes, reproducible from the seed on every platform.
JawRecipe random_recipe(std::uint64_t seed);

/// Builds the jaws. Deterministic: the same recipe gives the same bytes natively and in the browser to within 1e-6 mm.
/// Error when a parameter lies outside what the generator can make (says which). O(triangles).
Result<SampleJaws> make_sample(const JawRecipe& recipe);

}  // namespace intercusp
