// The one-minute try: offered on the first visit, four things to do, each ticked off when it was done.
#include "app/panels/panels.h"
#include "app/panels/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

std::string step_words(const Workspace& w) {
  switch (w.guide) {
    case 1: {
      const MeasureRow* row = w.readings.now().row("overjet");
      const std::string reads = row && row->value
                                    ? "reads this bite: overjet " + in_words(*row->definition, *row->value) + "."
                                    : "reads the bite.";
      return "The card at the side " + reads + " Click a number on it to see what was measured.";
    }
    case 2:
      return "Pull the long arrow of the handle, or press + beside Forward, and watch the card follow the jaw.";
    case 3:
      return "Now see what is in the way: open Clearance in the line below, and click a place of the list.";
    default:
      return "Pass it on: Share gives a link that opens these jaws in this very place.";
  }
}

bool step_done(const Workspace& w) {
  switch (w.guide) {
    case 1:
      return !w.explained.empty();
    case 2:
      return w.current_plan() && !w.current_plan()->entries.empty();
    case 3:
      return w.stop == Stop::clearance;
    default:
      return w.popover == Popover::share;
  }
}

void dots(const Workspace& w, float x, float y) {
  ImDrawList* list = ImGui::GetWindowDrawList();
  for (int i = 1; i <= kGuideSteps; ++i) {
    const float cx = x + px(14) * static_cast<float>(i - 1);
    if (i < w.guide)
      list->AddCircleFilled({cx, y}, px(4), theme().usual_text, 16);
    else if (i == w.guide)
      list->AddCircleFilled({cx, y}, px(4), theme().accent, 16);
    else
      list->AddCircle({cx, y}, px(3.5f), theme().soft, 16, std::max(1.0f, px(1)));
  }
}

// It keeps out of the way while landmarks are placed and while something else is open.
bool in_sight(const Workspace& w) {
  return w.has_case && w.guide >= 0 && w.stop != Stop::records && w.tool == Tool::turn && w.popover == Popover::none &&
         !w.gap.on && !(w.section.on && !w.section.at);
}

}  // namespace

void guide(Workspace& w, const Rect& view) {
  if (w.guide > 0 && step_done(w)) run(w, "guide", {{"step", w.guide + 1}});
  if (!in_sight(w)) return;
  const bool offer = w.guide == 0;
  const float width = std::min(px(372), view.w - px(24)), inner = width - px(28);
  const std::string words =
      offer ? "New here? Four small steps go once through the job, in about a minute." : step_words(w);
  const float tall = fonts().small->CalcTextSizeA(fonts().small->FontSize, FLT_MAX, inner, words.c_str()).y;
  const float h = tall + target_height() + px(28);
  const Rect r{view.x + px(12), view.y + view.h - px(40) - h, width, h};
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(px(14), px(10)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, px(8));
  ImGui::SetNextWindowBgAlpha(0.96f);
  begin_panel("guide", r);
  ImDrawList* list = ImGui::GetWindowDrawList();
  ui::put_lines(list, fonts().small, r.x + px(14), r.y + px(10), inner, theme().text, words);
  ImGui::SetCursorScreenPos({r.x + px(14), r.y + px(18) + tall});
  ui::ButtonLook quiet;
  quiet.weight = ui::Weight::quiet;
  if (offer) {
    if (ui::button("guide.start", "Show me", {ui::Weight::primary})) run(w, "guide", {{"on", true}});
    ImGui::SameLine();
    if (ui::button("guide.close", "Not now", quiet)) run(w, "guide", {{"on", false}});
  } else {
    dots(w, r.x + px(18), r.y + px(18) + tall + 0.5f * target_height());
    ImGui::SetCursorScreenPos(
        {r.x + r.w - px(14) - ui::text_width(fonts().body, "Leave it") - px(16), r.y + px(18) + tall});
    if (ui::button("guide.close", "Leave it", quiet)) run(w, "guide", {{"on", false}});
  }
  ImGui::End();
  ImGui::PopStyleVar(2);
}

}  // namespace intercusp
