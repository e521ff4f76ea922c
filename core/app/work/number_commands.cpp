// Commands on the number table and on what leaves the screen as text.
#include "app/panels/number_words.h"
#include "app/panels/plan_words.h"
#include "app/work/command_table.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

// What a reading begins with; the rest is one click away, and a person's own selection is kept.
constexpr const char* kShownAtFirst =
    "overjet,overbite,overbite_percent,midline_upper_lower,midline_upper_face,midline_lower_face,molar_right,molar_"
    "left,"
    "canine_right,canine_left,intercanine_upper,intercanine_lower,intermolar_upper,intermolar_lower,tooth_size_overall,"
    "tooth_size_anterior,curve_of_spee_right,curve_of_spee_left";

// A row shown or put away: {"id","on"}; {"all":true} shows every row.
Result<Json> rows(Workspace& w, const Json& args) {
  if (flag_at(args, "all").value_or(false)) w.rows_hidden.clear();
  const std::string id = text_at(args, "id").value_or("");
  if (!id.empty()) {
    if (!find_measure(id)) return Error{"there is no measure \"" + id + "\"", "", ""};
    if (flag_at(args, "on").value_or(w.rows_hidden.count(id) > 0))
      w.rows_hidden.erase(id);
    else
      w.rows_hidden.insert(id);
  }
  std::string kept;
  for (const MeasureDefinition& d : measure_table())
    if (!w.rows_hidden.count(d.id)) kept += (kept.empty() ? "" : ",") + d.id;
  w.host.keep_setting("rows_shown", kept.empty() ? "none" : kept);
  return Json{{"hidden", w.rows_hidden}};
}

Result<Json> copy(Workspace& w, const std::string& text, const char* what) {
  w.host.set_clipboard(text);
  w.say({Message::Kind::note, what, "", "", 0});
  return Json{{"text", text}};
}

Result<Json> copy_numbers(Workspace& w, const Json& args) {
  const std::string format = text_at(args, "format").value_or("text");
  if (format != "text" && format != "csv") return Error{"\"" + format + "\" is not a format", "", "use text or csv"};
  return format == "csv" ? copy(w, numbers_as_csv(w), "Numbers copied as CSV")
                         : copy(w, numbers_as_text(w), "Numbers copied as text");
}

Result<Json> copy_sheet(Workspace& w, const Json&) {
  return copy(w, sheet_as_text(w), "Movement sheet copied as text");
}

}  // namespace

void read_hidden_rows(Workspace& w) {
  const std::string kept = w.host.setting("rows_shown");
  const std::string shown = "," + (kept.empty() ? kShownAtFirst : kept) + ",";
  for (const MeasureDefinition& d : measure_table())
    if (shown.find("," + d.id + ",") == std::string::npos) w.rows_hidden.insert(d.id);
}

void add_number_commands(std::map<std::string, Command>& t) {
  t["rows"] = {rows};
  t["copy_numbers"] = {copy_numbers};
  t["copy_sheet"] = {copy_sheet};
}

}  // namespace intercusp
