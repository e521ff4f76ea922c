#include <cstdio>

#include <nlohmann/json.hpp>

#include "casebook/face_plan.h"
#include "cli/case_access.h"
#include "cli/commands.h"
#include "cli/csv.h"

namespace intercusp::cli {

using nlohmann::json;

namespace {

struct FaceOptions {
  std::string path, out, format = "text";
  MomentOptions moment;
  std::vector<std::string> set, clear;
  bool force = false;
};

/// KEY=NUMBER, or sex=WORD.
Status record(const std::string& text, FaceRecord& face) {
  const std::size_t at = text.find('=');
  if (at == std::string::npos) return Error{"\"" + text + "\" is not understood", "--set", "write KEY=NUMBER"};
  const std::string key = text.substr(0, at), value = text.substr(at + 1);
  if (key == "sex") return set_face_sex(face, value);
  const auto number = whole_number(value);
  if (!number) return Error{"\"" + value + "\" is not a number", "--set " + key, "write KEY=NUMBER"};
  return set_face_number(face, key, *number);
}

Status change(const FaceOptions& options, FaceRecord& face) {
  for (const std::string& text : options.set)
    if (const Status set = record(text, face); !set.ok()) return set;
  for (const std::string& key : options.clear) {
    const Status cleared = key == "sex" ? set_face_sex(face, "") : set_face_number(face, key, std::nullopt);
    if (!cleared.ok()) return cleared;
  }
  return Done{};
}

void print_text(const std::vector<FaceRow>& rows, const FaceRecord& face) {
  for (const FaceRow& row : rows) {
    const std::string planned = planned_words(row);
    if (!row.recorded && planned.empty()) continue;
    std::printf("%-44s %s%s%s\n", face_name(row).c_str(),
                row.recorded ? face_words(row.id, *row.recorded).c_str() : "not recorded",
                planned.empty() ? "" : "  planned: ", planned.c_str());
    for (const std::string& more : {row.usual.empty() ? "" : "usual: " + row.usual, row.ratio, row.remark})
      if (!more.empty()) std::printf("%-44s (%s)\n", "", more.c_str());
  }
  if (face.empty()) std::printf("nothing is recorded of the face; see `intercusp face --help`\n");
  std::printf(
      "\nSoft tissue follows bone by averages with a wide spread: for information, never a promise. A planning "
      "and teaching aid, not a medical device: verify against the records.\n");
}

void print_csv(const std::vector<FaceRow>& rows) {
  std::printf("id,words,recorded,planned_least,planned_most,usual,ratio,remark\n");
  const auto cell = [](const std::optional<double>& value) {
    char text[32] = "";
    if (value) std::snprintf(text, sizeof text, "%.9g", *value);
    return std::string(text);
  };
  for (const FaceRow& row : rows) {
    std::printf("%s,%s,%s,%s,%s,%s,%s,%s\n", row.id.c_str(), csv_field(row.words).c_str(), cell(row.recorded).c_str(),
                cell(row.planned_least).c_str(), cell(row.planned_most).c_str(), csv_field(row.usual).c_str(),
                csv_field(row.ratio).c_str(), csv_field(row.remark).c_str());
  }
}

int write(const FaceOptions& options) {
  auto opened = open_case(options.path);
  if (!opened.ok()) return fail(opened.error());
  Case c = std::move(opened).value();
  if (const Status changed = change(options, c.face); !changed.ok()) return fail(changed.error());
  const Status saved = save_case(c, options.out, options.force);
  return saved.ok() ? kDone : fail(saved.error());
}

int run(const FaceOptions& options) {
  const bool changes = !options.set.empty() || !options.clear.empty();
  if (changes && options.out.empty()) return fail({"there is no file to write to", "", "name one with -o CASE.glb"});
  if (!options.out.empty()) return write(options);
  auto opened = open_at(options.path, options.moment);
  if (!opened.ok()) return fail(opened.error());
  const CaseAtMoment& s = *opened.value();
  const auto poses = s.plan ? std::optional<SegmentPoses>(s.poses) : std::nullopt;
  const auto rows = face_rows(s.c.face, poses ? face_move(s.c, *poses) : std::nullopt);
  if (options.format == "json") {
    std::printf("%s\n", face_report(s.c, poses).dump(2).c_str());
  } else if (options.format == "csv") {
    print_csv(rows);
  } else {
    print_text(rows, s.c.face);
  }
  return kDone;
}

std::string keys_help() {
  std::string text = "KEY=NUMBER, mm, degrees or years:";
  for (const FaceItem& item : face_items()) text += " " + item.key + " (" + item.words + ");";
  return text + " or sex=woman, sex=man";
}

}  // namespace

Run add_face(CLI::App& app) {
  auto options = std::make_shared<FaceOptions>();
  app.add_option("case", options->path, "the case file")->required();
  app.add_option("--set", options->set, keys_help());
  app.add_option("--clear", options->clear, "KEY: takes a number out again");
  app.add_option("-o,--output", options->out, "the case file to write, with --set or --clear");
  app.add_flag("--force", options->force, "overwrite what is there");
  options->moment.add_to(app);
  add_format(app, options->format);
  return [options] { return run(*options); };
}

}  // namespace intercusp::cli
