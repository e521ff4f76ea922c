#include "app/panels/panels.h"
#include "app/theme.h"
#include "app/view/key_table.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/review.h"

namespace intercusp {

namespace {

void plan_tabs(Workspace& w) {
  ui::ButtonLook look;
  look.weight = ui::Weight::quiet;
  for (const Plan& p : std::vector<Plan>(w.now().plans)) {
    look.chosen = p.name == w.plan && w.held != Moment::rest;
    if (ui::button(("plan." + p.name).c_str(), ("Plan " + p.name).c_str(), look))
      run(w, "choose_plan", {{"name", p.name}});
    ImGui::SameLine(0, px(2));
  }
  look.chosen = false;
  if (touch_input() && !w.now().plans.empty()) look.width = target_height();
  look.hint = "Another plan for the same case, from the start";
  if (ui::button("plan.new", w.now().plans.empty() ? "Plan +" : "+", look)) run(w, "new_plan");
}

float button_width(const char* label) {
  return ui::text_width(fonts().body, label) + px(16);
}

/// A dot that says by form and colour whether the others are reached, then the words.
void people_button(Workspace& w, const std::string& words) {
  const bool live = w.review->connection == "live";
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const ImVec2 dot{at.x + px(6), at.y + 0.5f * target_height()};
  ImDrawList* list = ImGui::GetWindowDrawList();
  if (live)
    list->AddCircleFilled(dot, px(4), theme().usual_text);
  else
    list->AddCircle(dot, px(4), theme().overlap_text, 16, px(1.5f));
  ImGui::SetCursorPosX(ImGui::GetCursorPosX() + px(12));
  ui::ButtonLook look;
  look.weight = ui::Weight::quiet;
  look.chosen = !w.review->following.empty();
  look.hint = "Who is here, and looking with them";
  if (ui::button("people", words.c_str(), look)) run(w, "people");
}

/// Who is here, in as many words as there is room for; empty when the case is not shared.
std::string here_words(const Workspace& w, float room) {
  if (!in_review(w)) return {};
  const ReviewState& r = *w.review;
  const std::size_t n = r.people.size() + 1;
  const std::string number = r.connection == "offline" ? "offline" : std::to_string(n) + " here";
  std::string names = r.connection == "offline" ? "No connection" : n == 1 ? "Only you are here" : "";
  if (names.empty())
    for (const auto& [session, person] : r.people)
      names += (names.empty() ? "" : ", ") + (person.name.empty() ? "somebody" : person.name);
  if (n > 1 && r.connection != "offline") names = "Here: " + names;
  return button_width(names.c_str()) + px(24) <= room ? names : number;
}

// Buttons that end at the right edge of the bar.
void right_side(Workspace& w, const Rect& r, bool dark) {
  const char* next = w.theme_choice == "system"  ? "Theme: system"
                     : w.theme_choice == "light" ? "Theme: light"
                                                 : "Theme: dark";
  const bool wide = r.w > px(1080);
  const float share = ui::text_width(fonts().strong, "Share") + px(24);
  const bool keyboard = !touch_input();
  const float needed = (wide ? button_width(next) + px(8) : 0) + button_width("Save") + px(8) +
                       (keyboard ? button_width("Keys ?") + px(8) : 0) + share;
  ImGui::SameLine();
  // Where there is room for it and for who is here.
  const float practice = button_width("Practice") + px(8), for_people = in_review(w) ? px(110) : 0;
  const bool practises = r.w - px(32) - needed - ImGui::GetCursorPosX() - for_people > practice;
  const float bare = needed + (practises ? practice : 0);
  const std::string here = here_words(w, r.w - px(16) - bare - ImGui::GetCursorPosX());
  const float total = bare + (here.empty() ? 0 : button_width(here.c_str()) + px(20));
  ImGui::SetCursorPosX(r.w - px(16) - total);
  if (!here.empty()) {
    people_button(w, here);
    ImGui::SameLine(0, px(8));
  }
  ui::ButtonLook quiet;
  quiet.weight = ui::Weight::quiet;
  if (practises) {
    quiet.hint = "Questions about bites of known truth, for students";
    if (ui::button("practise", "Practice", quiet)) run(w, "practice");
    ImGui::SameLine(0, px(8));
  }
  if (wide) {
    quiet.hint = "Light, dark, or as the system has it";
    if (ui::button("theme", next, quiet)) {
      const std::string turned = w.theme_choice == "system"  ? (dark ? "light" : "dark")
                                 : w.theme_choice == "light" ? "dark"
                                                             : "light";
      run(w, "theme", {{"name", turned}});
    }
    ImGui::SameLine(0, px(8));
  }
  if (keyboard) {
    const std::string keys = key_hint("keys");
    quiet.hint = keys.c_str();
    if (ui::button("keys", "Keys ?", quiet)) run(w, "keys");
    ImGui::SameLine(0, px(8));
  }
  const std::string save = key_hint("save");
  quiet.hint = save.c_str();
  quiet.enabled = w.has_case;
  if (ui::button("save", "Save", quiet)) run(w, "save");
  ImGui::SameLine(0, px(8));
  ui::ButtonLook primary;
  primary.weight = ui::Weight::primary;
  primary.enabled = w.has_case;
  if (ui::button("share", "Share", primary)) run(w, "share_box");
}

}  // namespace

void top_bar(Workspace& w, const Rect& r) {
  begin_panel("top", r);
  ImGui::SetCursorPosY(std::floor(0.5f * (r.h - target_height())));
  ui::ButtonLook quiet;
  quiet.weight = ui::Weight::quiet;
  quiet.hint = "Open another case, a sample, or files";
  if (ui::button("home", "Intercusp", quiet)) run(w, "home");
  ImGui::SameLine(0, px(8));
  if (w.has_case) {
    quiet.hint = "Rename the case; use no names of people";
    if (ui::button("case", w.now().id.c_str(), quiet)) run(w, "rename_box");
    ImGui::SameLine(0, px(24));
    plan_tabs(w);
    ImGui::SameLine(0, px(24));
    const std::string undo = key_hint("undo"), redo = key_hint("redo");
    quiet.hint = undo.c_str();
    quiet.enabled = w.document.can_undo();
    if (ui::button("undo", "Undo", quiet)) run(w, "undo");
    ImGui::SameLine(0, px(2));
    quiet.hint = redo.c_str();
    quiet.enabled = w.document.can_redo();
    if (ui::button("redo", "Redo", quiet)) run(w, "redo");
    ImGui::SameLine(0, px(2));
    quiet.hint = "Every step so far";
    quiet.enabled = true;
    if (ui::button("history", "History", quiet)) run(w, "history");
  }
  right_side(w, r, theme().dark);
  ImGui::GetWindowDrawList()->AddLine({r.x, r.y + r.h - 1}, {r.x + r.w, r.y + r.h - 1}, theme().line);
  ImGui::End();
}

}  // namespace intercusp
