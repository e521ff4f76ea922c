#include <cmath>
#include <cstdio>

#include <nlohmann/json.hpp>

#include "casebook/case_file.h"
#include "cli/commands.h"
#include "cli/csv.h"
#include "cli/plan_edit.h"

namespace intercusp::cli {

using nlohmann::json;

namespace {

struct CutOptions {
  PlanOptions plan;
  std::string kind, format = "text";
  std::vector<double> level, slope, step;
  std::optional<double> saw, pieces, depth;
  std::vector<std::string> settings, limits;
};

/// One value is for both sides, two are right and left, where the cut has sides.
Status set_sides(CutKind kind, const std::vector<double>& values, const std::string& name, const std::string& unit,
                 std::map<std::string, double>& given) {
  if (values.empty()) return Done{};
  if (kind == CutKind::lefort1) {
    given[name + "_right_" + unit] = values.front();
    given[name + "_left_" + unit] = values.back();
    return Done{};
  }
  if (values.size() > 1) return Error{"--" + name + " takes one value for this kind of cut", "", ""};
  given[name + "_" + unit] = values.front();
  return Done{};
}

Result<std::pair<std::string, double>> parse_pair(const std::string& text, char between, const char* option,
                                                  const char* form) {
  const std::size_t at = text.find(between);
  const auto value = at == std::string::npos ? std::nullopt : whole_number(text.substr(at + 1));
  if (!value) return Error{"\"" + text + "\" is not understood", option, std::string("write ") + form};
  return std::make_pair(text.substr(0, at), *value);
}

Result<Osteotomy> cut_of(const CutOptions& options) {
  const CutKind kind = *cut_kind_of(options.kind);
  std::map<std::string, double> given;
  for (const Status& set :
       {set_sides(kind, options.level, "level", "mm", given), set_sides(kind, options.slope, "slope", "deg", given),
        set_sides(kind, options.step, "step", "mm", given)}) {
    if (!set.ok()) return set.error();
  }
  if (options.saw) given["saw_mm"] = *options.saw;
  if (options.pieces) given["count"] = *options.pieces;
  if (options.depth) given["depth_share"] = *options.depth;
  for (const std::string& text : options.settings) {
    auto pair = parse_pair(text, '=', "--set", "KEY=VALUE");
    if (!pair.ok()) return pair.error();
    given[pair.value().first] = pair.value().second;
  }
  for (const std::string& text : options.limits) {
    auto pair = parse_pair(text, ':', "--limit", "apex:MM, foramen:MM or canal:MM");
    if (!pair.ok()) return pair.error();
    given[pair.value().first + "_limit_mm"] = pair.value().second;
  }
  return make_osteotomy(kind, given);
}

json piece_rows(const Case& before, const Case& after) {
  json rows = json::array();
  for (const Body& body : after.bodies) {
    const Body* same = before.find_body(body.name);
    if (same && same->surface == body.surface) continue;
    const bool closed = body.surface->closed();
    rows.push_back({{"name", body.name},
                    {"segment", segment_of_body(after, body)},
                    {"triangles", body.surface->mesh().triangles.size()},
                    {"closed", closed},
                    {"volume_mm3", closed ? json(signed_volume(body.surface->mesh())) : json()}});
  }
  return rows;
}

json report_of(const Osteotomy& cut, const PlacedCut& placed, const Case& before, const Case& after) {
  json clearances = json::array();
  for (const CutClearance& row : placed.clearances) {
    clearances.push_back({{"landmark", row.landmark},
                          {"what", row.words},
                          {"distance_mm", row.distance_mm},
                          {"limit_mm", row.limit_mm},
                          {"limit_source", row.limit_source},
                          {"within_limit", !row.too_near()}});
  }
  json levels = json::array();
  for (const CutLevel& level : placed.levels)
    levels.push_back({{"side", level.side}, {"mm", level.mm}, {"from", level.from}});
  return {{"cut", cut_kind_name(cut.kind)},      {"settings", cut.settings},
          {"levels", std::move(levels)},         {"lacking", lacking_of(placed.levels)},
          {"pieces", piece_rows(before, after)}, {"clearances", std::move(clearances)}};
}

void print_cut_text(const json& r) {
  for (const json& piece : r["pieces"]) {
    std::printf("piece      %-18s moves with %-14s %zu triangles%s\n", piece["name"].get<std::string>().c_str(),
                piece["segment"].get<std::string>().c_str(), piece["triangles"].get<std::size_t>(),
                piece["volume_mm3"].is_null()
                    ? ", open"
                    : (", closed, " + std::to_string(std::lround(piece["volume_mm3"].get<double>())) + " mm3").c_str());
  }
  for (const json& level : r["levels"]) {
    const std::string side = level["side"].get<std::string>();
    std::printf("level      %s%.2f mm %s\n", side.empty() ? "" : (side + ", ").c_str(), level["mm"].get<double>(),
                level["from"].get<std::string>().c_str());
  }
  for (const json& row : r["clearances"]) {
    std::printf("distance   %-24s %6.2f mm%s\n", row["landmark"].get<std::string>().c_str(),
                row["distance_mm"].get<double>(), row["within_limit"].get<bool>() ? "" : "  under the limit");
  }
}

void print_cut_csv(const json& r) {
  std::printf("landmark,what,distance_mm,limit_mm,limit_source\n");
  for (const json& row : r["clearances"]) {
    std::printf("%s,%s,%.6f,%.6g,%s\n", row["landmark"].get<std::string>().c_str(),
                csv_field(row["what"].get<std::string>()).c_str(), row["distance_mm"].get<double>(),
                row["limit_mm"].get<double>(), csv_field(row["limit_source"].get<std::string>()).c_str());
  }
}

void warn(const json& r) {
  for (const json& lacking : r["lacking"]) note(lacking.get<std::string>());
  for (const json& row : r["clearances"]) {
    if (row["within_limit"].get<bool>()) continue;
    char words[256];
    std::snprintf(words, sizeof words, "the cut stays %.2f mm from the %s, less than %.2f mm (%s)",
                  row["distance_mm"].get<double>(), row["what"].get<std::string>().c_str(),
                  row["limit_mm"].get<double>(), row["limit_source"].get<std::string>().c_str());
    note(words);
  }
}

int run(const CutOptions& options) {
  const auto cut = cut_of(options);
  if (!cut.ok()) return fail(cut.error());
  auto opened = open_plan(options.plan);
  if (!opened.ok()) return fail(opened.error());
  PlanEdit edit = std::move(opened).value();
  PieceCache cache;
  const auto before = with_cuts(edit.c, &edit.edited(), &cache);
  if (!before.ok()) return fail(before.error());
  const auto placed = place_cut(before.value(), cut.value());
  if (!placed.ok()) return fail(placed.error());
  edit.edited().entries.push_back(cut_entry(cut.value()));
  const auto after = with_cuts(edit.c, &edit.edited(), &cache);
  if (!after.ok()) return fail(after.error());
  const Status saved = save_case(edit.c, options.plan.out, options.plan.force);
  if (!saved.ok()) return fail(saved.error());
  const json report = report_of(cut.value(), placed.value(), before.value(), after.value());
  if (options.format == "json") {
    std::printf("%s\n", report.dump(2).c_str());
  } else if (options.format == "csv") {
    print_cut_csv(report);
  } else {
    print_cut_text(report);
  }
  warn(report);
  bool within = true;
  for (const json& row : report["clearances"]) within = within && row["within_limit"].get<bool>();
  return within || options.limits.empty() ? kDone : kOutsideLimit;
}

std::string settings_help() {
  std::string text = "KEY=VALUE: any setting of the cut.";
  for (const char* kind : {"lefort1", "split_right", "chin", "pieces"}) {
    text += std::string(" ") + kind + ":";
    for (const CutSetting& setting : cut_settings(*cut_kind_of(kind))) text += " " + setting.key;
    text += ".";
  }
  return text;
}

}  // namespace

Run add_cut(CLI::App& app) {
  auto options = std::make_shared<CutOptions>();
  options->plan.add_to(app);
  app.add_option("--kind", options->kind, "lefort1, split_right, split_left, chin or pieces")
      ->required()
      ->check(CLI::IsMember({"lefort1", "split_right", "split_left", "chin", "pieces"}));
  app.add_option("--level", options->level,
                 "mm: lefort1 above the root apices (right and left), chin below them, split above the lingula; "
                 "default 5")
      ->expected(1, 2);
  app.add_option("--slope", options->slope, "degrees that the cut rises backwards (lefort1: right and left)")
      ->expected(1, 2);
  app.add_option("--step", options->step, "lefort1: mm higher behind the buttress (right and left)")->expected(1, 2);
  app.add_option("--saw", options->saw, "thickness of the saw, mm");
  app.add_option("--pieces", options->pieces, "pieces: 2 or 3");
  app.add_option("--depth", options->depth, "split: depth in the ramus as a share of its thickness");
  app.add_option("--set", options->settings, settings_help())->expected(1, -1);
  app.add_option("--limit", options->limits, "apex:MM, foramen:MM or canal:MM; nearer than that the exit code is 1")
      ->expected(1, -1);
  add_format(app, options->format);
  return [options] { return run(*options); };
}

}  // namespace intercusp::cli
