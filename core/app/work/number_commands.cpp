// Commands on the number table and on what leaves the screen as text.
#include "app/panels/number_words.h"
#include "app/panels/plan_words.h"
#include "app/work/command_table.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

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
  for (const std::string& hidden : w.rows_hidden) kept += (kept.empty() ? "" : ",") + hidden;
  w.host.keep_setting("rows_hidden", kept);
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
  const std::string kept = w.host.setting("rows_hidden");
  for (std::size_t from = 0; from < kept.size();) {
    const std::size_t comma = std::min(kept.find(',', from), kept.size());
    const std::string id = kept.substr(from, comma - from);
    if (find_measure(id)) w.rows_hidden.insert(id);
    from = comma + 1;
  }
}

void add_number_commands(std::map<std::string, Command>& t) {
  t["rows"] = {rows};
  t["copy_numbers"] = {copy_numbers};
  t["copy_sheet"] = {copy_sheet};
}

}  // namespace intercusp
