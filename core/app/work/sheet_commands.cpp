// The theatre sheet: made beside the screen and handed out as a PDF.
#include "app/work/command_table.h"
#include "app/work/review.h"
#include "base/calendar.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

// {"plan","checked_by","date"}: without a name the sheet says that nobody has checked it.
Result<Json> make_sheet_file(Workspace& w, const Json& args) {
  const std::string plan = text_at(args, "plan").value_or(w.plan);
  if (plan.empty()) return Error{"there is no plan yet to put on a sheet", "", "move a jaw first"};
  const std::string checked_by = text_at(args, "checked_by").value_or("");
  MakeSheet wanted{w.now(),
                   plan,
                   checked_by,
                   text_at(args, "date").value_or(date_today()),
                   agreed_lines(w, plan),
                   w.removal.clearance_mm};
  const auto told = std::make_shared<Json>(Json::object());
  const auto then = [&w, told, checked_by](ErrandAnswer& answer) -> Status {
    if (const auto* error = std::get_if<Error>(&answer)) return *error;
    const auto* made = std::get_if<SheetMade>(&answer);
    if (!made) return Error{"the sheet could not be made", "", "close other pages and try again"};
    const std::string name = file_stem(w) + "-sheet.pdf";
    w.host.offer_file(name, "application/pdf", made->pdf);
    const std::string more = checked_by.empty() ? "it says that nobody has checked it yet" : "checked by " + checked_by;
    w.say({Message::Kind::note, "Saved " + name, more, "", 0});
    *told = Json::parse(made->json, nullptr, false);
    return Done{};
  };
  const Status asked = w.errands.go(std::move(wanted), "Making the sheet", then);
  if (!asked) return asked.error();
  return *told;
}

}  // namespace

void add_sheet_commands(std::map<std::string, Command>& t) {
  t["sheet"] = {make_sheet_file};
}

}  // namespace intercusp
