#include <algorithm>
#include <filesystem>

#include "anatomy/sample_jaws.h"
#include "app/panels/popover.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/graded_questions.h"

namespace intercusp {

namespace {

void sample_row(Workspace& w, const JawRecipe& recipe) {
  const Theme& t = theme();
  const float width = ImGui::GetContentRegionAvail().x, h = target_height() + px(4);
  const ui::AreaState s = ui::area(("sample." + recipe.name).c_str(), {width, h});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  if (s.hovered) list->AddRectFilled(from, to, t.hover, px(6));
  ui::put_text(list, fonts().body, from.x + px(8), 0.5f * (from.y + to.y - fonts().body->FontSize), t.text,
               recipe.title);
  if (s.clicked) run(w, "open_sample", {{"name", recipe.name}, {"bone", w.samples_with_bone}});
}

/// The name of a file in ink, its folder softly behind it.
void recent_row(Workspace& w, std::size_t index, const std::string& path) {
  const std::filesystem::path file(path);
  const Theme& t = theme();
  const float width = ImGui::GetContentRegionAvail().x, h = target_height();
  const ui::AreaState s = ui::area(("recent." + std::to_string(index)).c_str(), {width, h});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  if (s.hovered) list->AddRectFilled(from, to, t.hover, px(6));
  const float y = 0.5f * (from.y + to.y - fonts().body->FontSize), x = from.x + px(8);
  const float name = ui::put_text(list, fonts().body, x, y, t.text, file.filename().string());
  list->PushClipRect(from, to, true);
  ui::put_text(list, fonts().small, x + name + px(10), y + px(2), t.soft, file.parent_path().string());
  list->PopClipRect();
  if (s.clicked) run(w, "open_recent", {{"index", index}});
}

/// Cases of lately, where the place opens files itself.
void recent_rows(Workspace& w, const std::vector<std::string>& recent) {
  if (recent.empty()) return;
  ui::gap_above(14);
  ui::paragraph(fonts().strong, theme().text, "Opened lately");
  for (std::size_t i = 0; i < recent.size(); ++i) recent_row(w, i, recent[i]);
}

}  // namespace

void start_page(Workspace& w, const Screen& s) {
  if (w.popover != Popover::start && w.has_case) return;
  const bool upright = s.top.w < px(700);
  constexpr std::size_t kMostRecent = 3;
  std::vector<std::string> recent = w.host.recent_files();
  recent.resize(std::min(recent.size(), kMostRecent));
  const float recent_height = recent.empty() ? 0 : 40 + static_cast<float>(recent.size()) * target_height() / px(1);
  begin_popover(
      w, "start",
      in_the_middle(s, upright ? 420 : 560,
                    (touch_input() ? 700 : 520) + (w.host.opens_copied_links() ? 36 : 0) + (w.laid_aside ? 36 : 0) +
                        recent_height + (w.host.can_forget() ? touch_input() ? 44 : 28 : 0)),
      "Intercusp");
  ui::paragraph(fonts().body, theme().text, "Check how the teeth meet, and what happens when a jaw is moved.");
  ui::gap_above(12);
  if (w.has_case) {
    if (ui::button("start.continue", ("Continue " + w.now().id).c_str(), {ui::Weight::primary}))
      w.popover = Popover::none;
    ImGui::SameLine();
  }
  if (ui::button("start.open", "Open files")) run(w, "ask_for_files");
  ImGui::SameLine();
  if (ui::button("start.practice", "Practice")) run(w, "practice");
  ImGui::SameLine();
  ui::ButtonLook teacher;
  teacher.hint = "A set of questions for your students, and their results in a table";
  if (ui::button("start.class", "For a class", teacher)) run(w, "class_page");
  if (const std::string graded = graded_set_to_continue(w); !graded.empty()) {
    ui::ButtonLook go_on;
    go_on.hint = "Your answers so far are kept on this machine";
    if (ui::button("start.graded", "Continue the graded set", go_on)) run(w, "practice", {{"set", graded}});
  }
  if (w.laid_aside) {
    ui::ButtonLook back;
    back.hint = "It was not saved when another case was opened";
    const std::string words = "Back to " + w.laid_aside->document.now().id + ", which was not saved";
    if (ui::button("start.back", words.c_str(), back)) run(w, "take_up_again");
  }
  if (w.host.opens_copied_links()) {
    ui::ButtonLook link;
    link.hint = "A link to a case that somebody sent: copy it first. Ctrl and V do the same";
    if (ui::button("start.link", "Open the copied link", link)) w.host.ask_for_copied_link();
  }
  recent_rows(w, recent);
  ui::gap_above(14);
  ui::paragraph(fonts().strong, theme().text, "Samples");
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(0, 0));
  for (const JawRecipe& recipe : sample_recipes()) sample_row(w, recipe);
  ImGui::PopStyleVar();
  ui::toggle("start.bone", "With jaw bones and roots, to lay cuts", w.samples_with_bone);
  ui::gap_above(8);
  ui::ButtonLook quiet;
  quiet.weight = ui::Weight::quiet;
  if (w.has_case && ui::button("start.guide", "The one-minute try", quiet)) {
    run(w, "guide", {{"on", true}});
    run(w, "stop", {{"name", "movement"}});
    w.popover = Popover::none;
  }
  if (w.has_case) ImGui::SameLine();
  if (ui::button("start.theme", theme().dark ? "Light colours" : "Dark colours", quiet))
    run(w, "theme", {{"name", theme().dark ? "light" : "dark"}});
  ImGui::SameLine();
  if (ui::button("start.keys", touch_input() ? "What fingers do" : "Keys and hands", quiet)) run(w, "keys");
  if (w.host.can_forget() && ui::button("start.kept", "What is kept here", quiet)) run(w, "kept_box");
  ui::gap_above(10);
  ui::paragraph(fonts().small, theme().text,
                "A planning and teaching aid, not cleared as a medical device: verify what you use, and decide by "
                "licensed practice and local rules.");
  end_popover(w);
}

}  // namespace intercusp
