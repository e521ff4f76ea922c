#pragma once

#include <string>

#include <nlohmann/json_fwd.hpp>

#include "anatomy/sample_jaws.h"
#include "casebook/case.h"

namespace intercusp {

/// Version of the jaw generator. It stands in every recipe: another version makes other vertices, so its links and
/// digests are not ours.
constexpr int kGeneratorVersion = 3;

/// A case that was made from a sample recipe as text for a link's fragment (base64url of JSON: recipe, plans, view).
/// Empty when the case holds scans of its own and cannot fit into a link.
std::string recipe_link(const Case& c, const nlohmann::json& view);

/// What a link says, before any jaw is made.
struct LinkContents {
  std::string sample;
  std::uint64_t seed = 1;
  std::uint32_t triangles = 0;
  bool with_bone = false;
  std::vector<Plan> plans;
  std::optional<LandmarkSet> edited_landmarks;
  std::string view_json = "{}";
};

/// Reads a link's text; malformed, oversized or foreign text gives an Error. O(size).
Result<LinkContents> parse_recipe_link(const std::string& fragment);

struct OpenedLink {
  Case opened;
  std::string view_json;
};
/// Reads a link and makes its case. As slow as making the jaws.
Result<OpenedLink> open_recipe_link(const std::string& fragment);

/// A case from generated jaws, already in the patient frame; with its recipe, unless its bones show crowns.
Case case_from_jaws(SampleJaws jaws, const std::string& sample_name);

/// The recipe of a sample by name, with the seed asked for or its own; "random" gives the random jaws of that seed.
Result<JawRecipe> recipe_for(const std::string& name, std::optional<std::uint64_t> seed);

/// A case from a sample by name; "random" makes the random jaws of that seed.
Result<Case> case_from_sample(const std::string& name, std::optional<std::uint64_t> seed, std::uint32_t triangles,
                              bool with_bone);

}  // namespace intercusp
