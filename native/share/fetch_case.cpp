#include "base/json_read.h"
#include "casebook/case_file.h"
#include "casebook/recipe_link.h"
#include "review/crypto.h"
#include "review/entry.h"
#include "review/review_wire.h"
#include "share/open_entry.h"
#include "share/shared_folder.h"
#include "share/stored_thing.h"

namespace intercusp::share {
namespace {

using nlohmann::json;

Result<std::vector<Body>> bodies_of_recipe(const Case& shared) {
  Case alone;
  alone.id = shared.id;
  alone.recipe = shared.recipe;
  Result<OpenedLink> made = open_recipe_link(recipe_link(alone, json::object()));
  if (!made) return made.error();
  return std::move(made.value().opened.bodies);
}

Result<std::vector<Body>> fetch_bodies(ServerLine& line, const secrets::ReviewLink& link,
                                       const secrets::ReviewKeys& keys, const SharedCase& shared) {
  if (!shared.now().recipe.empty()) return bodies_of_recipe(shared.now());
  const auto piece = [&](const std::string& name) {
    return line.must({"GET", "folders/" + link.folder + "/pieces/" + name, keys.read_token, {}, {}, true});
  };
  std::vector<Body> bodies;
  const json stored = shared.stored_bodies();
  for (const json& thing : stored) {
    const Result<std::string> bytes = stored_thing(keys, link.folder, thing, piece, {});
    if (!bytes) return bytes.error();
    Result<Case> alone = read_case(reinterpret_cast<const std::uint8_t*>(bytes.value().data()), bytes.value().size());
    if (!alone) return alone.error();
    const std::string name = text_at(thing, "name").value_or("body");
    if (alone.value().bodies.size() != 1) return Error{"the " + name + " is no body", "the shared case", {}};
    bodies.push_back(std::move(alone.value().bodies.front()));
    bodies.back().name = name;
  }
  return bodies;
}

}  // namespace

Result<FetchedCase> fetch_case(ServerLine& line, const secrets::ReviewLink& link) {
  const auto keys = secrets::review_keys(link.view_key);
  if (!keys) return keys.error();
  const auto log = line.must({"GET", "folders/" + link.folder + "/log?after=0", keys.value().read_token, {}, {}, true});
  if (!log) return log.error();
  const auto frames = secrets::read_log(log.value());
  if (!frames) return frames.error();
  FetchedCase fetched;
  std::vector<ReviewEntry> entries;
  for (const secrets::LogFrame& frame : frames.value()) {
    Result<ReviewEntry> entry = open_entry(keys.value(), link.folder, frame);
    if (entry) {
      entries.push_back(std::move(entry).value());
    } else {
      fetched.notes.push_back(entry.error().sentence());
    }
  }
  const std::string change = change_key_of(link, entries);
  SharedCase shared(change);
  for (const ReviewEntry& entry : entries) {
    const auto taken = shared.take(entry.body);
    if (!taken) fetched.notes.push_back(taken.error().sentence());
  }
  if (change.empty() || !shared.begun()) {
    return Error{"the shared case has no beginning that this link speaks of", "the server",
                 "ask whoever shared it to share it again"};
  }
  Result<std::vector<Body>> bodies = fetch_bodies(line, link, keys.value(), shared);
  if (!bodies) return bodies.error();
  shared.set_bodies(std::move(bodies).value());
  fetched.c = shared.now();
  fetched.entries = entries.size();
  fetched.remarks = shared.remarks().size();
  fetched.agreements = shared.agreements();
  for (const ReviewFinding& finding : shared.findings()) fetched.notes.push_back(finding.words);
  return fetched;
}

}  // namespace intercusp::share
