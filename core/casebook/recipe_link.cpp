#include "casebook/recipe_link.h"

#include <nlohmann/json.hpp>

#include "base/base64.h"
#include "base/json_read.h"
#include "casebook/case_json.h"
#include "casebook/common_grid.h"

namespace intercusp {

using nlohmann::json;

namespace {

constexpr std::size_t kLongestLink = 64 * 1024;
constexpr int kLinkVersion = 1;

Error bad_link(const std::string& what) {
  return Error{what, "the link", "copy the whole link again, or ask for it once more"};
}

/// The recipe's fields, each within what the generator can make.
Status read_recipe(const json& recipe, LinkContents& link) {
  const auto sample = text_at(recipe, "sample");
  const auto seed = number_at(recipe, "seed"), triangles = number_at(recipe, "triangles");
  const bool usable =
      sample && seed && triangles && *seed >= 0 && *seed < 9e15 && *triangles >= 20000 && *triangles <= 1000000;
  if (!usable) return bad_link("the link's recipe is not one that the program knows");
  link.sample = *sample;
  link.seed = static_cast<std::uint64_t>(*seed);
  link.triangles = static_cast<std::uint32_t>(*triangles);
  link.with_bone = flag_at(recipe, "bone").value_or(false);
  return Done{};
}

}  // namespace

Result<JawRecipe> recipe_for(const std::string& name, std::optional<std::uint64_t> seed) {
  if (name == "random") return random_recipe(seed.value_or(1));
  auto recipe = find_sample(name);
  if (recipe.ok() && seed) recipe.value().seed = *seed;
  return recipe;
}

Result<Case> case_from_sample(const std::string& name, std::optional<std::uint64_t> seed, std::uint32_t triangles,
                              bool with_bone) {
  auto recipe = recipe_for(name, seed);
  if (!recipe.ok()) return recipe.error();
  recipe.value().triangles = triangles;
  recipe.value().with_bone = with_bone;
  auto jaws = make_sample(recipe.value());
  if (!jaws.ok()) return jaws.error();
  return case_from_jaws(std::move(jaws).value(), name);
}

Case case_from_jaws(SampleJaws jaws, const std::string& sample_name) {
  Case c;
  c.id = sample_name;
  for (SampleBody& body : jaws.bodies) {
    put_on_common_grid(body.mesh);
    c.bodies.push_back(make_body(body.name, Surface::make(std::move(body.mesh))));
  }
  put_on_common_grid(jaws.landmarks);
  c.landmarks = std::move(jaws.landmarks);
  c.frame_known = true;                      // the generator works in the patient frame
  if (jaws.recipe.crowns_on_bone) return c;  // no link asks for these: the case holds them itself
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

Result<LinkContents> parse_recipe_link(const std::string& fragment) {
  if (fragment.size() > kLongestLink) return bad_link("the link is longer than any that this program makes");
  const auto text = from_base64url(fragment);
  if (!text) return bad_link("the link holds characters that do not belong there");
  auto document = parse_json(text->data(), text->size());
  if (!document.ok()) return bad_link("the link is cut short or damaged");
  const json& d = document.value();
  const json* recipe = member(d, "recipe");
  const json* plans = member(d, "plans");
  if (!recipe || !plans) return bad_link("the link names no case");
  const bool ours =
      number_at(d, "v").value_or(0) == kLinkVersion && number_at(*recipe, "generator").value_or(0) == kGeneratorVersion;
  if (!ours) return bad_link("the link was made by another version of the program");
  LinkContents link;
  const Status named = read_recipe(*recipe, link);
  if (!named.ok()) return named.error();
  auto list = plans_from_json(*plans);
  if (!list.ok()) return list.error();
  link.plans = std::move(list).value();
  if (const json* landmarks = member(d, "landmarks")) {
    auto set = landmarks_from_json(*landmarks);
    if (!set.ok()) return set.error();
    link.edited_landmarks = std::move(set).value();
  }
  if (const json* view = member(d, "view")) link.view_json = view->dump();
  return link;
}

Result<OpenedLink> open_recipe_link(const std::string& fragment) {
  auto parsed = parse_recipe_link(fragment);
  if (!parsed.ok()) return parsed.error();
  LinkContents link = std::move(parsed).value();
  auto made = case_from_sample(link.sample, link.seed, link.triangles, link.with_bone);
  if (!made.ok()) return made.error();
  OpenedLink opened{std::move(made).value(), std::move(link.view_json)};
  opened.opened.plans = std::move(link.plans);
  if (link.edited_landmarks) {
    opened.opened.landmarks = std::move(*link.edited_landmarks);
    opened.opened.landmarks_edited = true;
  }
  return opened;
}

}  // namespace intercusp
