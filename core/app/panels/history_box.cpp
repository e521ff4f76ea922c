#include "app/panels/panels.h"
#include "app/panels/popover.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

void step_row(Workspace& w, std::size_t index, const std::string& words, bool last) {
  const Theme& t = theme();
  const float h = touch_input() ? target_height() : px(26);
  const ui::AreaState s =
      ui::area(("history." + std::to_string(index)).c_str(), {ImGui::GetContentRegionAvail().x - px(4), h});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  if (s.hovered || last) list->AddRectFilled(from, to, last ? t.accent_ground : t.hover, px(5));
  const float y = std::floor(0.5f * (from.y + to.y - fonts().small->FontSize));
  ui::put_text(list, fonts().small, from.x + px(28), y, t.soft, std::to_string(index), 1);
  ui::put_text(list, last ? fonts().small_strong : fonts().small, from.x + px(38), y, t.text,
               ui::fitted(fonts().small_strong, words, to.x - from.x - px(44)));
  if (s.clicked && !last) run(w, "go_back_to", {{"steps", index}});
}

}  // namespace

void history_box(Workspace& w, const Screen& s) {
  if (w.popover != Popover::history) return;
  begin_popover(w, "history_box", in_the_middle(s, 480, 420), "History");
  const std::vector<std::string> steps = w.document.history();
  ui::soft_text(steps.empty() ? "Nothing has been changed yet."
                              : "Latest first. Press a step to go back to it; redo brings the later ones again.");
  ui::gap_above(6);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(0, 0));
  ImGui::BeginChild("steps", {0, 0});
  for (std::size_t i = steps.size(); i > 0; --i) step_row(w, i, steps[i - 1], i == steps.size());
  step_row(w, 0, "As it was opened", steps.empty());
  ImGui::EndChild();
  ImGui::PopStyleVar();
  end_popover(w);
}

}  // namespace intercusp
