#include <cstdio>

#include <nlohmann/json.hpp>

#include "cli/case_access.h"
#include "cli/commands.h"
#include "cli/csv.h"
#include "cli/limits.h"

namespace intercusp::cli {

using nlohmann::json;

namespace {

struct MeasureOptions {
  std::string path, format = "text";
  MomentOptions moment;
  std::vector<std::string> limits;
  std::optional<double> landmark_sd_mm, unit_mm;
};

std::string needs_list(const json& row) {
  std::string list;
  for (const json& name : row["needs"]) list += (list.empty() ? "" : ", ") + name.get<std::string>();
  return list;
}

void print_measure_text(const json& report) {
  std::printf("case %s, %s, measured in the %s frame\n\n", report["case"].get<std::string>().c_str(),
              report["plan"].is_null()
                  ? "at rest"
                  : ("plan " + report["plan"].get<std::string>() + " " + report["at"].get<std::string>()).c_str(),
              report["frame"].get<std::string>().c_str());
  for (const json& row : report["measures"]) {
    std::printf("%-30s %s\n", row["name"].get<std::string>().c_str(), row["words"].get<std::string>().c_str());
    if (row.contains("odds") && row["odds"].size() > 1) {
      std::printf("%-30s (%s)\n", "", row["odds_words"].get<std::string>().c_str());
    }
  }
  for (const json& row : report["not_measurable"]) {
    std::printf("%-30s not measurable: needs %s\n", row["name"].get<std::string>().c_str(), needs_list(row).c_str());
  }
  std::printf("\nA planning and teaching aid, not a medical device: verify against the records.\n");
}

void print_measure_csv(const json& report) {
  std::printf("id,name,value,unit,uncertainty,class,quarters,words,source\n");
  for (const json& row : report["measures"]) {
    std::printf(
        "%s,%s,%.9g,%s,%.4g,%s,%s,%s,%s\n", row["id"].get<std::string>().c_str(),
        csv_field(row["name"].get<std::string>()).c_str(), row["value"].get<double>(),
        row["unit"].get<std::string>().c_str(), row["uncertainty"].get<double>(),
        row.value("class", std::string()).c_str(), row.contains("quarters") ? row["quarters"].dump().c_str() : "",
        csv_field(row["words"].get<std::string>()).c_str(), csv_field(row["source"].get<std::string>()).c_str());
  }
  for (const json& row : report["not_measurable"]) {
    std::printf("%s,%s,,,,,,%s,\n", row["id"].get<std::string>().c_str(),
                csv_field(row["name"].get<std::string>()).c_str(),
                csv_field("not measurable: needs " + needs_list(row)).c_str());
  }
}

int run(const MeasureOptions& options) {
  const auto state = open_at(options.path, options.moment);
  if (!state.ok()) return fail(state.error());
  CaseAtMoment& s = *state.value();
  MeasureSettings& settings = s.c.measure_settings;
  settings.landmark_sd_mm = options.landmark_sd_mm.value_or(settings.landmark_sd_mm);
  settings.unit_mm = options.unit_mm.value_or(settings.unit_mm);
  const json report = measure_report(s.c, s.plan, s.at, s.poses);
  const auto broken = broken_limits(options.limits, report);
  if (!broken.ok()) return fail(broken.error());
  if (options.format == "json") {
    std::printf("%s\n", report.dump(2).c_str());
  } else if (options.format == "csv") {
    print_measure_csv(report);
  } else {
    print_measure_text(report);
  }
  for (const std::string& words : broken.value()) note(words);
  return broken.value().empty() ? kDone : kOutsideLimit;
}

}  // namespace

Run add_measure(CLI::App& app) {
  auto options = std::make_shared<MeasureOptions>();
  app.add_option("case", options->path, "the case file")->required();
  options->moment.add_to(app);
  app.add_option("--limit", options->limits, "ID:MIN..MAX; outside it the exit code is 1")->expected(1, -1);
  app.add_option("--landmark-sd", options->landmark_sd_mm,
                 "repeatability of a landmark, mm per axis, one standard deviation (default: the case's, 0.3)")
      ->check(CLI::Range(0.0, 5.0));
  app.add_option("--unit", options->unit_mm, "cusp unit in mm where the patient's own is not known (default: 7)")
      ->check(CLI::Range(1.0, 20.0));
  add_format(app, options->format);
  return [options] { return run(*options); };
}

}  // namespace intercusp::cli
