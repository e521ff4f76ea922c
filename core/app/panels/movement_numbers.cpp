// The six quantities of the movement as numbers, with steps.
#include <cmath>

#include "app/panels/panels.h"
#include "app/panels/words.h"
#include "app/scene/plan_edit.h"
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

}  // namespace

void movement_numbers(Workspace& w) {
  const auto edited = edited_movement(w.now(), w.plan, w.segment);
  if (!edited) return;
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(px(8), px(2)));
  for (const Row& row : kRows) draw_row(w, row, edited.value().movement);
  ImGui::PopStyleVar();
  ui::ButtonLook quiet;
  quiet.weight = ui::Weight::quiet;
  quiet.hint = "Step of the buttons and the arrow keys; Shift moves ten steps";
  const std::string words = "Step " + amount(w.nudge_mm, w.nudge_mm < 0.1 ? 2 : 1) + " mm, " +
                            amount(w.nudge_deg, w.nudge_deg < 0.1 ? 2 : 1) + "\xC2\xB0";
  if (ui::button("step.size", words.c_str(), quiet)) {
    const double next = w.nudge_mm > 0.7 ? 0.1 : w.nudge_mm > 0.3 ? 1.0 : 0.5;
    run(w, "step", {{"mm", next}, {"deg", next}});
  }
}

}  // namespace intercusp
