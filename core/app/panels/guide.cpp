// The one-minute try: offered on the first visit, four things to do, each ticked off when it was done.
#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

std::string step_words(const Workspace& w) {
  const bool beside = ImGui::GetIO().DisplaySize.x >= px(1080);
  switch (w.guide) {
    case 1: {
      const MeasureRow* row = w.readings.now().row("overjet");
      const std::string reads = row && row->value
                                    ? "reads this bite: overjet " + in_words(*row->definition, *row->value) + "."
                                    : "reads the bite.";
      return std::string(beside ? "The card at the side " : "The card below ") + reads +
             " Press a number on it to see what was measured.";
    }
    case 2:
      if (!w.left_open) return "Pull the long arrow of the handle and watch the card follow the jaw.";
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
         legend_room(w) == 0 && !(w.section.on && !w.section.at);
}

}  // namespace

float guide(Workspace& w, const Rect& view) {
  const float bottom = view.y + view.h;
  if (w.guide > 0 && step_done(w)) run(w, "guide", {{"step", w.guide + 1}});
  if (!in_sight(w) || view.h < px(300)) return bottom;  // a phone held sideways shows the model instead
  const bool offer = w.guide == 0;
  // A low strip beside the figure where there is room for one: what is taught stands in the view above it.
  const bool low = view.w >= px(600);
  if (!low && !w.explained.empty()) return bottom;  // an explanation stands there
  const float buttons = px(offer ? 196 : 100);
  const float width = low ? std::min(px(600), view.w - px(24 + 162)) : std::min(px(372), view.w - px(24));
  const float inner = width - px(28) - (low ? buttons : 0);
  const std::string words =
      offer ? "New here? Four small steps go once through the job, in about a minute." : step_words(w);
  const float tall = ui::lines_height(fonts().small, words, inner);
  const float h =
      low ? std::max(tall + (offer ? 0 : px(16)), target_height()) + px(20) : tall + target_height() + px(28);
  const Rect r{view.x + px(12), bottom - px(40) - h, width, h};
  begin_over_view("guide", r, ImVec2(px(14), px(10)));
  ImDrawList* list = ImGui::GetWindowDrawList();
  ui::put_lines(list, fonts().small, r.x + px(14), r.y + px(10), inner, theme().text, words);
  const float line = low ? r.y + 0.5f * (h - target_height()) : r.y + px(18) + tall;
  ImGui::SetCursorScreenPos({low ? r.x + r.w - buttons : r.x + px(14), line});
  ui::ButtonLook quiet;
  quiet.weight = ui::Weight::quiet;
  if (offer) {
    if (ui::button("guide.start", "Show me", {ui::Weight::primary})) run(w, "guide", {{"on", true}});
    ImGui::SameLine();
    if (ui::button("guide.close", "Not now", quiet)) run(w, "guide", {{"on", false}});
  } else {
    dots(w, r.x + px(18), low ? r.y + px(20) + tall : line + 0.5f * target_height());
    ImGui::SetCursorScreenPos({r.x + r.w - px(14) - ui::text_width(fonts().body, "Leave it") - px(16), line});
    if (ui::button("guide.close", "Leave it", quiet)) run(w, "guide", {{"on", false}});
  }
  end_over_view();
  return r.y;
}

}  // namespace intercusp
