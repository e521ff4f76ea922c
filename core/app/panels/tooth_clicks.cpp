// Landmarks in one gesture: one click a tooth. Which teeth the first reading uses, what the last click found, and what
// of it asks for a look.
#include <cmath>

#include "anatomy/notation.h"
#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/first_reading.h"
#include "app/work/stops.h"

namespace intercusp {

namespace {

// The teeth of a jaw in the order of a chart, seen from in front: the patient's right at the left.
std::vector<int> chart_row(const std::set<int>& teeth, bool upper) {
  std::vector<int> row;
  for (auto t = teeth.rbegin(); t != teeth.rend(); ++t)
    if (is_upper(*t) == upper && is_right(*t)) row.push_back(*t);
  for (const int t : teeth)
    if (is_upper(t) == upper && !is_right(t)) row.push_back(t);
  return row;
}

// A number a tooth: filled with a tick once it is read, an open frame until then.
void tooth_row(const std::vector<int>& teeth, const std::set<int>& left) {
  const Theme& t = theme();
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float gap = px(3), h = px(24);
  const auto count = static_cast<float>(std::max<std::size_t>(teeth.size(), 1));
  const float wide = std::min(px(34), std::floor((ImGui::GetContentRegionAvail().x - gap * (count - 1)) / count));
  ImDrawList* list = ImGui::GetWindowDrawList();
  float x = at.x;
  for (const int tooth : teeth) {
    const bool read = !left.count(tooth);
    const ImVec2 from{x, at.y}, to{x + wide, at.y + h};
    if (read) list->AddRectFilled(from, to, t.accent_ground, px(4));
    list->AddRect(from, to, read ? t.accent : t.line, px(4), 0, read ? px(1.5f) : px(1));
    const float y = std::floor(at.y + 0.5f * (h - fonts().small->FontSize));
    ui::put_text(list, read ? fonts().small_strong : fonts().small, x + 0.5f * wide, y, read ? t.accent : t.text,
                 std::to_string(tooth), 0.5f);
    x += wide + gap;
  }
  ImGui::Dummy({x - at.x, h});
}

void look_row(Workspace& w, const std::string& name) {
  const Theme& t = theme();
  const float h = touch_input() ? target_height() : px(24);
  const ui::AreaState s = ui::area(("look." + name).c_str(), {ImGui::GetContentRegionAvail().x, h});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  if (s.hovered || name == w.landmark_wanted) list->AddRectFilled(from, to, t.hover, px(4));
  list->AddCircle({from.x + px(10), 0.5f * (from.y + to.y)}, px(5), t.overlap_text, 20, px(1.5f));
  const float y = 0.5f * (from.y + to.y - fonts().small->FontSize);
  ui::put_text(list, fonts().small, from.x + px(22), y, t.text, landmark_words(name));
  ui::put_text(list, fonts().small, to.x - px(6), y, t.overlap_text, "look", 1);
  if (s.hovered) ui::hint_tip(landmark_hint(name).c_str());
  if (s.clicked) w.landmark_wanted = name;
}

// The neighbour's number, towards the back or the front; 0 at the end of the arch.
int neighbour(int tooth, int step) {
  const int n = position(tooth) + step;
  if (n >= 1 && n <= 8) return tooth + step;
  if (n != 0) return 0;
  return is_upper(tooth) ? (is_right(tooth) ? 21 : 11) : (is_right(tooth) ? 31 : 41);
}

void number_buttons(Workspace& w, int tooth) {
  ui::ButtonLook quiet;
  quiet.weight = ui::Weight::quiet;
  if (ui::button("tooth.confirm", ("Confirm " + std::to_string(tooth)).c_str()))
    run(w, "confirm_tooth", {{"tooth", tooth}});
  for (const int step : {-1, 1}) {
    const int other = neighbour(tooth, step);
    if (other == 0) continue;
    ImGui::SameLine();
    const std::string id = "tooth.to." + std::to_string(other);
    if (ui::button(id.c_str(), ("It is " + std::to_string(other)).c_str(), quiet))
      run(w, "renumber_tooth", {{"tooth", tooth}, {"to", other}});
  }
}

void clicked_card(Workspace& w) {
  if (!w.clicked) return;
  const ClickedTooth c = *w.clicked;
  const std::string prefix = std::to_string(c.tooth) + ".";
  std::vector<std::string> doubtful;
  for (const std::string& name : points_in_doubt(w))
    if (name.compare(0, prefix.size(), prefix) == 0) doubtful.push_back(name);
  ui::gap_above(8);
  ui::paragraph(fonts().strong, theme().text,
                ("Read as " + std::to_string(c.tooth) + ", " + tooth_name(c.tooth)).c_str());
  std::string words = std::to_string(c.points) + " points placed";
  words += doubtful.empty() ? "." : ", " + std::to_string(doubtful.size()) + " to look at: drag the dot to correct it.";
  if (!c.sure) words = "Look whether the number is right. " + words;
  ui::paragraph(fonts().small, c.sure ? theme().soft : theme().overlap_text, words.c_str());
  for (const std::string& name : doubtful) look_row(w, name);
  number_buttons(w, c.tooth);
}

}  // namespace

void tooth_clicks(Workspace& w) {
  const FirstReading reading = first_reading(w);
  const bool on = w.tool == Tool::click_teeth;
  if (!on && reading.left.empty()) return;
  if (!on) {
    if (ui::button("teeth.click", "Click the teeth", {ui::Weight::primary})) run(w, "click_teeth", {{"on", true}});
    ui::soft_text("One click a tooth places its points.");
    return;
  }
  ui::paragraph(fonts().small, theme().text, "Click each of these teeth once, anywhere on its crown.");
  tooth_row(chart_row(reading.teeth, true), reading.left);
  ui::gap_above(2);
  tooth_row(chart_row(reading.teeth, false), reading.left);
  if (!w.clicks_due.empty()) ui::soft_text("Finding the arch on the scan ...");
  clicked_card(w);
  ui::ButtonLook quiet;
  quiet.weight = ui::Weight::quiet;
  const char* done = reading.left.empty() ? "Done: the bite can be read" : "Stop clicking";
  if (ui::button("teeth.stop", done, reading.left.empty() ? ui::ButtonLook{ui::Weight::primary} : quiet))
    run(w, "click_teeth", {{"on", false}});
}

}  // namespace intercusp
