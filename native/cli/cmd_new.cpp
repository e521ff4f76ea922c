#include "casebook/case_file.h"
#include "casebook/import.h"
#include "casebook/join_bone.h"
#include "cli/case_access.h"
#include "cli/commands.h"

namespace intercusp::cli {

namespace {

struct NewOptions {
  std::string upper, lower, landmarks, units, id, out;
  std::vector<std::string> bones;
  bool force = false;
};

std::string base_name(const std::string& path) {
  return path.substr(path.rfind('/') + 1);
}

Status add_body(Case& c, const std::string& name, const std::string& path, const std::string& units) {
  if (c.find_body(name)) return Error{"two bodies would be named " + name, "", "give each a name of its own"};
  auto bytes = read_file(path);
  if (!bytes.ok()) return bytes.error();
  auto imported = import_body({name, base_name(path), std::move(bytes).value()}, units);
  if (!imported.ok()) return imported.error();
  for (const std::string& words : imported.value().notes) note(name + ": " + words);
  c.bodies.push_back(std::move(imported).value().body);
  return Done{};
}

Status add_bones(Case& c, const NewOptions& options) {
  for (const std::string& item : options.bones) {
    const std::size_t equals = item.find('=');
    if (equals == std::string::npos || equals == 0 || equals + 1 == item.size()) {
      return Error{"\"" + item + "\" does not name a bone and its file", "--bone",
                   "write NAME=FILE, for example lower_bone=mandible.stl"};
    }
    const Status added = add_body(c, item.substr(0, equals), item.substr(equals + 1), options.units);
    if (!added.ok()) return added;
  }
  return Done{};
}

Status add_landmarks(Case& c, const std::string& path) {
  auto bytes = read_file(path);
  if (!bytes.ok()) return bytes.error();
  auto set = parse_landmarks(std::string(bytes.value().begin(), bytes.value().end()));
  if (!set.ok()) {
    Error error = set.error();
    error.where = path + (error.where.empty() ? "" : ", " + error.where);
    return error;
  }
  c.landmarks = std::move(set).value();
  return Done{};
}

int run(const NewOptions& options) {
  Case c;
  for (const auto& [name, path] : {std::pair{"upper_arch", options.upper}, std::pair{"lower_arch", options.lower}}) {
    const Status added = add_body(c, name, path, options.units);
    if (!added.ok()) return fail(added.error());
  }
  const Status bones = add_bones(c, options);
  if (!bones.ok()) return fail(bones.error());
  if (!options.landmarks.empty()) {
    const Status landmarks = add_landmarks(c, options.landmarks);
    if (!landmarks.ok()) return fail(landmarks.error());
  }
  if (!options.bones.empty())
    for (const std::string& words : join_scans_to_bone(c)) note(words);
  c.id = options.id.empty() ? neutral_case_id(c.bodies) : options.id;
  if (!settle_frame(c)) note("the patient frame is not known yet: landmarks are missing (see `intercusp info`).");
  const Status saved = save_case(c, options.out, options.force);
  return saved.ok() ? kDone : fail(saved.error());
}

}  // namespace

Run add_new(CLI::App& app) {
  auto options = std::make_shared<NewOptions>();
  app.add_option("--upper", options->upper, "upper dental scan (STL, PLY or OBJ)")->required();
  app.add_option("--lower", options->lower, "lower dental scan")->required();
  app.add_option("--bone", options->bones, "NAME=FILE: a bone surface, for example lower_bone=mandible.stl")
      ->expected(1, -1);
  app.add_option("--landmarks", options->landmarks, "landmarks file (JSON) in the frame of the scans");
  app.add_option("--units", options->units, "units of the scans (default: mm, questioned when the size cannot be mm)")
      ->check(CLI::IsMember({"mm", "cm", "m", "inch"}));
  app.add_option("--id", options->id, "case id; choose one that says nothing about the person");
  app.add_option("-o,--output", options->out, "the case file to write")->required();
  app.add_flag("--force", options->force, "overwrite what is there");
  return [options] { return run(*options); };
}

}  // namespace intercusp::cli
