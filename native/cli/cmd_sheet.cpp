#include <cstdio>

#include <nlohmann/json.hpp>

#include "base/calendar.h"
#include "casebook/case_file.h"
#include "casebook/sheet.h"
#include "cli/case_access.h"
#include "cli/commands.h"

namespace intercusp::cli {

namespace {

struct SheetOptions {
  std::string path, plan, out, format = "text";
  SheetOrder order;
  bool force = false;
};

void print_sheet_text(const TheatreSheet& sheet) {
  std::printf("Movement sheet, case %s, plan %s, %s\n%s\n", sheet.case_id.c_str(), sheet.plan.c_str(),
              sheet.date.c_str(), sheet_checked_words(sheet).c_str());
  for (const std::string& line : sheet.agreed) std::printf("%s\n", line.c_str());
  std::printf("\nWatch first\n");
  for (const std::string& warning : sheet.warnings) std::printf("  %s\n", warning.c_str());
  std::printf("\n");
  for (const std::string& sentence : sheet.movements) std::printf("%s\n", sentence.c_str());
  std::printf("Staging. %s\n", sheet.staging.c_str());
  for (const SheetTable& table : sheet.tables) {
    std::printf("\n%s\n", table.title.c_str());
    for (const auto& row : table.rows) {
      for (std::size_t i = 0; i < row.size(); ++i) std::printf("%s%s", i == 0 ? "  " : " | ", row[i].c_str());
      std::printf("\n");
    }
    for (const std::string& words : table.notes) std::printf("  %s\n", words.c_str());
  }
  std::printf("\nA planning and teaching aid, not a medical device: verify against the records.\n");
}

int run(const SheetOptions& options) {
  auto c = open_case(options.path);
  if (!c.ok()) return fail(c.error());
  const auto sheet = make_sheet(c.value(), options.plan, options.order);
  if (!sheet.ok()) return fail(sheet.error());
  const auto bytes = sheet_pdf(sheet.value());
  if (!bytes.ok()) return fail(bytes.error());
  const Status saved = save_atomically(options.out, bytes.value(), options.force);
  if (!saved.ok()) return fail(saved.error());
  if (options.format == "json") {
    std::printf("%s\n", sheet_json(sheet.value()).dump(2).c_str());
  } else {
    print_sheet_text(sheet.value());
  }
  if (options.order.checked_by.empty()) {
    note(
        "nobody has checked this sheet, and it says so; name the person who has with --checked-by NAME before it is "
        "used");
  }
  return kDone;
}

}  // namespace

Run add_sheet(CLI::App& app) {
  auto options = std::make_shared<SheetOptions>();
  options->order.date = date_today();
  app.add_option("case", options->path, "the case file")->required();
  app.add_option("--plan", options->plan, "the plan to put on paper")->required();
  app.add_option("-o,--output", options->out, "the PDF to write")->required();
  app.add_option("--checked-by", options->order.checked_by, "the person who checked it; printed on the sheet");
  app.add_option("--clearance", options->order.clearance_mm, "mm to leave where bone is removed (default 0.5)")
      ->check(CLI::Range(0.0, 5.0));
  app.add_option("--date", options->order.date, "YYYY-MM-DD (default: today)");
  app.add_option("--format", options->format, "what is also printed: text (default) or json")
      ->check(CLI::IsMember({"text", "json"}));
  app.add_flag("--force", options->force, "overwrite what is there");
  return [options] { return run(*options); };
}

}  // namespace intercusp::cli
