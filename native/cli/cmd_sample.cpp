#include <cstdio>

#include <nlohmann/json.hpp>

#include "anatomy/sample_jaws.h"
#include "casebook/case_file.h"
#include "casebook/recipe_link.h"
#include "cli/case_access.h"
#include "cli/commands.h"

namespace intercusp::cli {

namespace {

struct SampleOptions {
  std::string name, out, truth;
  std::optional<std::uint64_t> seed;
  std::uint32_t triangles = 100000;
  bool bone = false, crowns = false, force = false;
};

int list_samples() {
  for (const JawRecipe& recipe : sample_recipes()) std::printf("%-12s %s\n", recipe.name.c_str(), recipe.title.c_str());
  std::printf("%-12s %s\n", "random", "random jaws of any class, made from --seed");
  return kDone;
}

Status write_truth(const SampleJaws& jaws, const std::string& name, const SampleOptions& options) {
  nlohmann::json truth = {
      {"sample", name}, {"seed", jaws.recipe.seed}, {"measures", jaws.truth}, {"classes", jaws.truth_class}};
  const std::string text = truth.dump(2) + "\n";
  return save_atomically(options.truth, {text.begin(), text.end()}, options.force);
}

int run(const SampleOptions& options) {
  if (options.name.empty()) return list_samples();
  if (options.crowns && !options.bone)
    return fail({"crowns are shown on bone, and there is none", "--crowns", "add --bone"});
  if (options.out.empty()) return fail({"there is no file to write to", "", "name one with -o CASE.glb"});
  auto recipe = recipe_for(options.name, options.seed);
  if (!recipe.ok()) return fail(recipe.error());
  recipe.value().triangles = options.triangles;
  recipe.value().with_bone = options.bone;
  recipe.value().crowns_on_bone = options.crowns;
  auto jaws = make_sample(recipe.value());
  if (!jaws.ok()) return fail(jaws.error());
  if (!options.truth.empty()) {
    const Status written = write_truth(jaws.value(), options.name, options);
    if (!written.ok()) return fail(written.error());
  }
  const Status saved = save_case(case_from_jaws(std::move(jaws).value(), options.name), options.out, options.force);
  return saved.ok() ? kDone : fail(saved.error());
}

}  // namespace

Run add_sample(CLI::App& app) {
  auto options = std::make_shared<SampleOptions>();
  app.add_option("name", options->name, "which sample (none: lists them; `random`: jaws made from the seed)");
  app.add_option("--seed", options->seed, "individual variation, the same jaws for the same number");
  app.add_option("--triangles", options->triangles, "triangles per arch, about (default 100000)")
      ->check(CLI::Range(20000, 1000000));
  app.add_option("--truth", options->truth, "also write the exact truth of every measure to this file (JSON)");
  app.add_flag("--bone", options->bone,
               "with the bones (upper jaw with the base of the skull, mandible) and the roots of the teeth");
  app.add_flag("--crowns", options->crowns, "the bones show the crowns of the teeth as well, as a CT does");
  app.add_option("-o,--output", options->out, "the case file to write");
  app.add_flag("--force", options->force, "overwrite what is there");
  return [options] { return run(*options); };
}

}  // namespace intercusp::cli
