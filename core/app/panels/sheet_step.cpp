// The stop of the theatre sheet: what will stand on it in short, who checked it, and the PDF.
#include "app/panels/number_words.h"
#include "app/panels/panels.h"
#include "app/panels/plan_words.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/review.h"

namespace intercusp {

namespace {

constexpr char kNameSetting[] = "checked_by";

void sheet_words(const char* words) {
  ui::paragraph(fonts().body, theme().text, words);
}

void sheet_title(const std::string& words) {
  ui::gap_above(10);
  ui::paragraph(fonts().strong, theme().text, words.c_str());
}

void bite_lines(const Workspace& w) {
  sheet_title("What the bite measures then");
  for (const char* id : {"overjet", "overbite", "midline_upper_lower", "molar_right", "molar_left"}) {
    const MeasureRow* row = w.readings.now().row(id);
    if (!row || !row->value) continue;
    const std::string words = short_name(*row->definition) + ": " + in_words(*row->definition, *row->value);
    ui::paragraph(fonts().small, theme().text, words.c_str());
  }
}

std::string checker(Workspace& w) {
  std::string name = w.host.setting(kNameSetting);
  if (ui::text_field("sheet.checked_by", "name of who checked it", name)) w.host.keep_setting(kNameSetting, name);
  return name;
}

}  // namespace

void sheet_step(Workspace& w) {
  const auto lines = plan_words(w);
  sheet_title(w.plan.empty() ? "No plan yet" : "Plan " + w.plan);
  if (lines.empty()) sheet_words("No jaw has been moved.");
  for (const std::string& line : lines) sheet_words(line.c_str());
  say_what_is_in_the_way(w);
  bite_lines(w);
  sheet_title("Agreed");
  const auto agreed = agreed_lines(w, w.plan);
  for (const std::string& line : agreed) ui::paragraph(fonts().small, theme().text, line.c_str());
  if (agreed.empty()) ui::soft_text("Not agreed: the case is not shared.");
  sheet_title("Checked by");
  const std::string name = checker(w);
  ui::gap_above(8);
  ui::ButtonLook look{ui::Weight::primary};
  look.enabled = !w.plan.empty();
  if (ui::button("sheet.pdf", "Make the sheet (PDF)", look)) run(w, "sheet", {{"checked_by", name}});
  ui::soft_text(
      "One A4 page: movements, cuts, bone to remove by site, gaps, condyles, the bite, the vertical, four views. "
      "Without "
      "a name it says that nobody has checked it.");
  ui::gap_above(10);
  if (ui::button("sheet.copy", "Copy as text")) run(w, "copy_sheet");
  ImGui::SameLine();
  if (ui::button("sheet.csv", "Numbers as CSV")) run(w, "copy_numbers", {{"format", "csv"}});
}

}  // namespace intercusp
