// The six quantities of the movement as numbers, with steps.
#include <cmath>

#include "app/panels/panels.h"
#include "app/scene/plan_edit.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/view/handle.h"
#include "app/widgets/quantity.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

struct Row {
  const char* id;
  const char* name;
  const char* less;  // what the left step does
  const char* more;
};

constexpr Row kRows[] = {{"forward", "Forward", "back", "forward"},
                         {"up", "Up", "down", "up"},
                         {"left", "Sideways", "to the patient's right", "to the patient's left"},
                         {"pitch", "Pitch", "front down", "front up"},
                         {"roll", "Roll", "right side down", "left side down"},
                         {"yaw", "Yaw", "front to the patient's right", "front to the patient's left"}};

bool is_angle(const Row& row) {
  return row.id == std::string("pitch") || row.id == std::string("roll") || row.id == std::string("yaw");
}

std::string value_words(const Row& row, double v) {
  const std::string number = amount(v, 1);
  if (number == "0.0") return is_angle(row) ? "0.0\xC2\xB0" : "0.0 mm";
  const std::string side = v < 0 ? row.less : row.more;
  std::string brief = side;
  for (const char* drop : {"to the patient's ", "front to the patient's "})
    if (side.rfind(drop, 0) == 0) brief = side.substr(std::string(drop).size());
  if (row.id == std::string("roll")) brief = v < 0 ? "right down" : "left down";
  return number + (is_angle(row) ? "\xC2\xB0 " : " mm ") + brief;
}

void step_button(Workspace& w, const Row& row, int sign) {
  ui::ButtonLook look;
  look.width = target_height();
  look.hint = sign < 0 ? row.less : row.more;
  if (ui::button((std::string(sign < 0 ? "less." : "more.") + row.id).c_str(), sign < 0 ? "\xE2\x88\x92" : "+", look))
    run(w, "nudge", {{"segment", w.segment}, {"quantity", row.id}, {"steps", sign}});
}

void draw_row(Workspace& w, const Row& row, const Movement& m) {
  const float h = target_height(), left = ImGui::GetCursorPosX(), all = ImGui::GetContentRegionAvail().x;
  const ImVec2 at = ImGui::GetCursorScreenPos();
  ui::put_text(ImGui::GetWindowDrawList(), fonts().body, at.x, at.y + 0.5f * (h - fonts().body->FontSize), theme().text,
               row.name);
  ImGui::SetCursorPosX(left + px(76));
  step_button(w, row, -1);
  ImGui::SameLine(0, px(2));
  ui::QuantityLook look;
  look.value = quantity_of(m, row.id);
  look.words = value_words(row, look.value);
  look.width = all - px(76) - 2 * h - px(4);
  look.step = is_angle(row) ? w.nudge_deg : w.nudge_mm;
  look.hint = "Drag sideways, or click and type";
  const ui::QuantityEdit e = ui::quantity((std::string("number.") + row.id).c_str(), look);
  if (e.dragging) w.dragging = true;
  if (e.value)
    run(w, "set_movement", {{"segment", w.segment}, {row.id, *e.value}, {"merge", std::string("number.") + row.id}});
  if (e.finished) w.document.seal();
  ImGui::SameLine(0, px(2));
  step_button(w, row, 1);
}

void step_sizes(Workspace& w) {
  const float h = target_height();
  const ImVec2 at = ImGui::GetCursorScreenPos();
  ui::put_text(ImGui::GetWindowDrawList(), fonts().small, at.x, at.y + 0.5f * (h - fonts().small->FontSize),
               theme().soft, "Step, mm and \xC2\xB0");
  ImGui::SetCursorScreenPos({at.x + px(104), at.y});
  for (const double step : {0.1, 0.5, 1.0}) {
    ui::ButtonLook look;
    look.weight = ui::Weight::quiet;
    look.chosen = std::abs(w.nudge_mm - step) < 1e-9;
    look.width = std::max(h, px(40));
    look.hint =
        "Step of the handle, the buttons and the arrow keys; Alt makes a tenth of it, Shift with an arrow key ten";
    const std::string words = amount(step, 1);
    if (ui::button(("step." + words).c_str(), words.c_str(), look)) run(w, "step", {{"mm", step}, {"deg", step}});
    ImGui::SameLine(0, px(2));
  }
  ImGui::NewLine();
}

}  // namespace

void movement_numbers(Workspace& w) {
  const auto edited = edited_movement(w.planned(), w.plan, w.segment);
  if (!edited) return;
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(px(8), px(2)));
  for (const Row& row : kRows) draw_row(w, row, edited.value().movement);
  ImGui::PopStyleVar();
  step_sizes(w);
}

}  // namespace intercusp
