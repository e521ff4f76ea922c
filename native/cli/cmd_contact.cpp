#include <algorithm>
#include <cstdio>

#include <nlohmann/json.hpp>

#include "casebook/bone_in_way.h"
#include "casebook/case_file.h"
#include "casebook/gap_map.h"
#include "cli/case_access.h"
#include "cli/commands.h"
#include "cli/csv.h"
#include "formats/mesh_writer.h"

namespace intercusp::cli {

using nlohmann::json;

namespace {

struct ContactOptions {
  std::string path, format = "text", map;
  MomentOptions moment;
  std::vector<std::string> between, limits;
  std::optional<double> band_mm, contact_mm, after_removal;
  bool force = false;
};

std::string place(const json& row) {
  if (row.contains("site")) return row["site"].get<std::string>();
  if (row.contains("teeth")) return row["teeth"][0].get<std::string>() + " on " + row["teeth"][1].get<std::string>();
  return "";
}

/// What only overlaps of bone have: whether the plan implies it, how thick, and what it comes near.
void print_bone(const json& region) {
  if (!region.contains("planned")) return;
  std::printf("          %s, %.2f mm thick, cut back at %s\n",
              region["planned"].get<bool>() ? "planned: the wedge along the cut" : "contact that nobody asked for",
              region["thickness_mm"].get<double>(), region["trimmed"].get<std::string>().c_str());
  for (const json& touch : region["touches"]) {
    std::printf("          comes within %.1f mm of the %s\n", std::max(0.0, touch["distance_mm"].get<double>()),
                touch["what"].get<std::string>().c_str());
  }
}

void print_regions(const json& pair) {
  for (const json& region : pair["regions"]) {
    const json& volume = region["volume_mm3"];
    std::printf("  overlap %.3f mm deep  %-10s at (%.2f, %.2f, %.2f), area %.2f mm2%s\n",
                region["deepest_mm"].get<double>(), place(region).c_str(), region["at"][0].get<double>(),
                region["at"][1].get<double>(), region["at"][2].get<double>(), region["area_mm2"].get<double>(),
                volume.is_null() ? "" : (", volume " + std::to_string(volume.get<double>()) + " mm3").c_str());
    print_bone(region);
  }
}

std::string or_dash(const json& value, int decimals) {
  char text[32] = "-";
  if (value.is_number()) std::snprintf(text, sizeof text, "%.*f", decimals, value.get<double>());
  return text;
}

/// Where plates go, how moves are reported to hold, what teeth meet on the way, and what removal would leave.
void print_plan(const json& report) {
  for (const json& plate : report.value("plates", json::array())) {
    std::string bone;
    for (const json& screw : plate["screws"]) bone += (bone.empty() ? "" : " / ") + or_dash(screw["thickness_mm"], 2);
    std::printf("plate site %s: gap %s mm, step %s mm, contact %s mm2, bone %s mm, screw tip to root %s mm\n",
                plate["site"].get<std::string>().c_str(), or_dash(plate["gap_mm"], 2).c_str(),
                or_dash(plate["step_mm"], 2).c_str(), or_dash(plate["contact_mm2"], 1).c_str(), bone.c_str(),
                or_dash(plate["tip_to_root_mm"], 2).c_str());
    for (const json& remark : plate["remarks"])
      std::printf("          %s%s%s\n", remark["what"].get<std::string>().c_str(),
                  remark["considered"] == "" ? "" : ": ", remark["considered"].get<std::string>().c_str());
  }
  for (const json& note : report.value("stability", json::array()))
    std::printf("stability %s: %s%s (%s)\n", note["move"].get<std::string>().c_str(),
                note["rank"].get<std::string>().c_str(), note["beyond_usual"].get<bool>() ? ", beyond the usual" : "",
                note["source"].get<std::string>().c_str());
  for (const json& way : report.value("on_the_way", json::array())) {
    const std::string teeth = way["teeth"].is_null() ? "upper on lower teeth" : place(way);
    std::printf("on the way of step %d teeth pass through each other by up to %.2f mm (%s): open the jaw for it\n",
                way["step"].get<int>(), way["deepest_mm"].get<double>(), teeth.c_str());
  }
  if (!report.contains("removal")) return;
  for (const json& bone : report["removal"]["bones"])
    std::printf("after removal with %.2f mm: %s loses %.1f mm3, deepest overlap left %.3f mm, least gap %.3f mm\n",
                report["removal"]["clearance_mm"].get<double>(), bone["body"].get<std::string>().c_str(),
                bone["removed_mm3"].get<double>(), bone["left_mm"].get<double>(), bone["gap_mm"].get<double>());
}

void print_contact_text(const json& report) {
  for (const json& pair : report["pairs"]) {
    std::printf("%s and %s\n", pair["between"][0].get<std::string>().c_str(),
                pair["between"][1].get<std::string>().c_str());
    if (pair["regions"].empty()) std::printf("  no overlap\n");
    print_regions(pair);
    const json& distance = pair["minimum_distance_mm"];
    if (!distance.is_null()) std::printf("  least distance %.4f mm\n", distance.get<double>());
    if (pair.contains("why")) std::printf("  overlap volume not given: %s\n", pair["why"].get<std::string>().c_str());
    std::printf("  contacts: %zu\n", pair["contacts"].size());
    for (const json& patch : pair["contacts"]) {
      std::printf("  contact %-10s gap %.3f mm, area %.3f mm2\n", place(patch).c_str(), patch["gap_mm"].get<double>(),
                  patch["area_mm2"].get<double>());
    }
  }
  if (report["pairs"].empty()) std::printf("nothing here can meet: the case needs bodies on two segments\n");
  std::printf("\nA planning and teaching aid, not a medical device: verify against the records.\n");
  print_plan(report);
}

void print_contact_csv(const json& report) {
  std::printf("kind,first,second,place,depth_or_gap_mm,x,y,z,area_mm2,volume_mm3\n");
  const auto row = [](const char* kind, const json& pair, const json& item, double amount, const std::string& volume) {
    std::printf("%s,%s,%s,%s,%.6f,%.6f,%.6f,%.6f,%.6f,%s\n", kind, pair["between"][0].get<std::string>().c_str(),
                pair["between"][1].get<std::string>().c_str(), csv_field(place(item)).c_str(), amount,
                item["at"][0].get<double>(), item["at"][1].get<double>(), item["at"][2].get<double>(),
                item["area_mm2"].get<double>(), volume.c_str());
  };
  for (const json& pair : report["pairs"]) {
    for (const json& region : pair["regions"]) {
      row("overlap", pair, region, region["deepest_mm"].get<double>(),
          region["volume_mm3"].is_null() ? "" : region["volume_mm3"].dump());
    }
    for (const json& patch : pair["contacts"]) row("contact", pair, patch, patch["gap_mm"].get<double>(), "");
  }
}

/// `depth:MM`: no overlap may be deeper.
Result<std::optional<double>> depth_limit(const std::vector<std::string>& limits) {
  std::optional<double> most;
  for (const std::string& text : limits) {
    const auto value = text.rfind("depth:", 0) == 0 ? whole_number(text.substr(6)) : std::nullopt;
    if (!value || *value < 0) return Error{"\"" + text + "\" is not a limit", "--limit", "write depth:MM"};
    most = most ? std::min(*most, *value) : *value;
  }
  return most;
}

double deepest(const std::vector<ContactPair>& pairs) {
  double depth = 0;
  for (const ContactPair& pair : pairs) {
    if (!pair.result.regions.empty()) depth = std::max(depth, pair.result.regions.front().deepest_mm);
  }
  return depth;
}

int finish(const ContactOptions& options, const CaseAtMoment& s, const std::vector<ContactPair>& pairs,
           std::optional<double> most) {
  if (!options.map.empty()) {
    const Mesh coloured = gap_map(s.c, s.poses, pairs, s.c.contact_settings);
    const Status saved = save_atomically(options.map, write_ply(coloured), options.force);
    if (!saved.ok()) return fail(saved.error());
  }
  if (!most || deepest(pairs) <= *most) return kDone;
  char words[96];
  std::snprintf(words, sizeof words, "the deepest overlap is %.3f mm, over the limit of %.3f mm", deepest(pairs),
                *most);
  note(words);
  return kOutsideLimit;
}

int run(const ContactOptions& options) {
  const auto most = depth_limit(options.limits);
  if (!most.ok()) return fail(most.error());
  auto state = open_at(options.path, options.moment);
  if (!state.ok()) return fail(state.error());
  CaseAtMoment& s = *state.value();
  ContactSettings& settings = s.c.contact_settings;
  if (options.band_mm) settings.band_mm = *options.band_mm;
  if (options.contact_mm) settings.contact_mm = *options.contact_mm;
  const auto pairs = options.between.empty()
                         ? contact_pairs(s.c, s.poses, settings)
                         : contact_pairs(s.c, s.poses, settings, options.between[0], options.between[1]);
  if (!pairs.ok()) return fail(pairs.error());
  json report = contact_report(s.c, s.poses, pairs.value(), s.plan);
  if (options.after_removal) {
    const auto bones =
        trim_bones(s.c, s.poses, bone_in_way(s.c, s.plan, s.poses, pairs.value()), *options.after_removal);
    if (!bones.ok()) return fail(bones.error());
    report["removal"] = removal_report(bones.value(), *options.after_removal);
  }
  if (options.format == "json") {
    std::printf("%s\n", report.dump(2).c_str());
  } else if (options.format == "csv") {
    print_contact_csv(report);
  } else {
    print_contact_text(report);
  }
  return finish(options, s, pairs.value(), most.value());
}

}  // namespace

Run add_contact(CLI::App& app) {
  auto options = std::make_shared<ContactOptions>();
  app.add_option("case", options->path, "the case file")->required();
  options->moment.add_to(app);
  app.add_option("--between", options->between, "one pair of bodies (default: all that can meet)")->expected(2);
  app.add_option("--band", options->band_mm, "distance within which gaps are worked out, mm (default 3)")
      ->check(CLI::Range(0.1, 20.0));
  app.add_option("--contact", options->contact_mm, "gap that counts as contact, mm (default 0.05)")
      ->check(CLI::Range(0.0, 1.0));
  app.add_option("--after-removal", options->after_removal, "also what is left once bone is cut back by this much, mm")
      ->check(CLI::Range(0.0, 3.0));
  app.add_option("--limit", options->limits, "depth:MM; a deeper overlap makes the exit code 1")->expected(1, -1);
  app.add_option("--map", options->map, "also write the bodies coloured by their gap (PLY)");
  app.add_flag("--force", options->force, "overwrite what is there");
  add_format(app, options->format);
  return [options] { return run(*options); };
}

}  // namespace intercusp::cli
