// While another position than the plan's is looked at, the view says which, with the way back.
#include "app/panels/panels.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

std::string position_words(const Workspace& w) {
  const Plan& plan = *w.current_plan();
  if (w.moment() == Moment::rest) return "The start, before plan " + plan.name;
  return plan.first_jaw == "upper" ? "In between: upper jaw as planned, lower as it was"
                                   : "In between: lower jaw as planned, upper as it was";
}

}  // namespace

void position_bar(Workspace& w, const Rect& view) {
  const Plan* plan = w.current_plan();
  const bool another = plan && !plan->entries.empty() && w.stop != Stop::cuts && w.moment() != Moment::planned;
  if (!another || w.tool != Tool::turn) return;
  const std::string words = position_words(w);
  const char* back = "Show the plan";
  const float least = px(20) + px(12) + ui::text_width(fonts().body, back) + px(24);
  const float width = std::min(view.w - px(16), least + ui::text_width(fonts().small, words));
  const Rect r{view.x + px(8), view.y + tool_strip_height(view.w), width, px(12) + target_height()};
  begin_over_view("position_bar", r, ImVec2(px(10), px(6)));
  const ImVec2 at = ImGui::GetCursorScreenPos();
  ui::put_text(ImGui::GetWindowDrawList(), fonts().small, at.x,
               std::floor(at.y + 0.5f * (target_height() - fonts().small->FontSize)), theme().text,
               ui::fitted(fonts().small, words, r.w - least));
  ImGui::SetCursorPosX(r.w - least + px(22));
  ui::ButtonLook look;
  look.hint = "Esc does the same";
  if (ui::button("shown.back", back, look)) run(w, "compare", {{"shown", "plan"}});
  end_over_view();
}

}  // namespace intercusp
