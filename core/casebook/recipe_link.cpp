#include "casebook/recipe_link.h"

#include <nlohmann/json.hpp>

#include "base/base64.h"
#include "base/json_read.h"
#include "casebook/case_json.h"

namespace intercusp {

using nlohmann::json;

namespace {

constexpr std::size_t kLongestLink = 64 * 1024;
constexpr int kLinkVersion = 1;

Error bad_link(const std::string& what) {
  return Error{what, "the link", "copy the whole link again, or ask for it once more"};
}

}  // namespace

Result<Case> case_from_sample(const std::string& name, std::uint64_t seed, std::uint32_t triangles, bool with_bone) {
  Result<JawRecipe> recipe = name == "random" ? Result<JawRecipe>(random_recipe(seed)) : find_sample(name);
  if (!recipe.ok()) return recipe.error();
  recipe.value().seed = seed;
  recipe.value().triangles = triangles;
  recipe.value().with_bone = with_bone;
  auto jaws = make_sample(recipe.value());
  if (!jaws.ok()) return jaws.error();
  return case_from_jaws(std::move(jaws).value(), name);
}

Case case_from_jaws(SampleJaws jaws, const std::string& sample_name) {
  Case c;
  c.id = sample_name;
  for (SampleBody& body : jaws.bodies) c.bodies.push_back(make_body(body.name, Surface::make(std::move(body.mesh))));
  c.landmarks = std::move(jaws.landmarks);
  c.frame_known = true;  // the generator works in the patient frame
  c.recipe = json{{"sample", sample_name},
                  {"seed", jaws.recipe.seed},
                  {"triangles", jaws.recipe.triangles},
                  {"bone", jaws.recipe.with_bone},
                  {"generator", kGeneratorVersion}}
                 .dump();
  return c;
}

std::string recipe_link(const Case& c, const json& view) {
  if (c.recipe.empty()) return {};
  json document = {{"v", kLinkVersion},
                   {"recipe", json::parse(c.recipe, nullptr, false)},
                   {"plans", plans_to_json(c.plans)},
                   {"view", view}};
  if (c.landmarks_edited) document["landmarks"] = landmarks_to_json(c.landmarks);
  return base64url(document.dump());
}

Result<OpenedLink> open_recipe_link(const std::string& fragment) {
  if (fragment.size() > kLongestLink) return bad_link("the link is longer than any that this program makes");
  const auto text = from_base64url(fragment);
  if (!text) return bad_link("the link holds characters that do not belong there");
  auto document = parse_json(text->data(), text->size());
  if (!document.ok()) return bad_link("the link is cut short or damaged");
  const json& d = document.value();
  if (number_at(d, "v").value_or(0) != kLinkVersion)
    return bad_link("the link was made by another version of the program");
  const json* recipe = member(d, "recipe");
  const json* plans = member(d, "plans");
  if (!recipe || !plans) return bad_link("the link names no case");
  if (number_at(*recipe, "generator").value_or(0) != kGeneratorVersion) {
    return bad_link("the link was made by another version of the program");
  }
  const auto seed = number_at(*recipe, "seed"), triangles = number_at(*recipe, "triangles");
  const auto sample = text_at(*recipe, "sample");
  const bool usable =
      sample && seed && triangles && *seed >= 0 && *seed < 9e15 && *triangles >= 20000 && *triangles <= 1000000;
  if (!usable) return bad_link("the link's recipe is not one that the program knows");
  auto opened = case_from_sample(*sample, static_cast<std::uint64_t>(*seed), static_cast<std::uint32_t>(*triangles),
                                 flag_at(*recipe, "bone").value_or(false));
  if (!opened.ok()) return opened.error();
  OpenedLink link{std::move(opened).value(), "{}"};
  auto list = plans_from_json(*plans);
  if (!list.ok()) return list.error();
  link.opened.plans = std::move(list).value();
  if (const json* landmarks = member(d, "landmarks")) {
    auto set = landmarks_from_json(*landmarks);
    if (!set.ok()) return set.error();
    link.opened.landmarks = std::move(set).value();
    link.opened.landmarks_edited = true;
  }
  if (const json* view = member(d, "view")) link.view_json = view->dump();
  return link;
}

}  // namespace intercusp
