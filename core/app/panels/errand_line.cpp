// What is being done beside the screen, while a person waits for it: words, a thin line, and a way to end it.
#include <algorithm>
#include <cmath>

#include "app/panels/panels.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

constexpr double kWorthShowing = 0.3;  // seconds; what is done sooner needs no line

void progress_line(const ImVec2& from, float width, double fraction, double seconds, bool still) {
  const Theme& t = theme();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const float h = px(3);
  list->AddRectFilled(from, {from.x + width, from.y + h}, t.line, px(2));
  if (fraction > 0) {
    list->AddRectFilled(from, {from.x + width * static_cast<float>(std::min(fraction, 1.0)), from.y + h}, t.accent,
                        px(2));
    return;
  }
  // How much is left is not known: a piece that goes to and fro.
  const float part = 0.25f * width, at = still ? 0.5f : static_cast<float>(0.5 + 0.5 * std::sin(3 * seconds));
  const float x = from.x + at * (width - part);
  list->AddRectFilled({x, from.y}, {x + part, from.y + h}, t.accent, px(2));
}

}  // namespace

void errand_line(Workspace& w, const Screen& s, double since) {
  const std::string words = w.errands.words();
  if (words.empty() || since < 0) return;
  if (w.seconds - since < kWorthShowing) return;
  const float width = std::min(px(380), s.view.w - px(16)), h = target_height() + px(28);
  const float x = std::floor(s.view.x + 0.5f * (s.view.w - width));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, px(8));
  ImGui::SetNextWindowPos({x, s.view.y + px(64)});
  ImGui::SetNextWindowSize({width, h});
  ImGui::Begin("errand", nullptr,
               ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                   ImGuiWindowFlags_NoFocusOnAppearing);
  const float top = s.view.y + px(64) + px(8);
  ui::put_text(ImGui::GetWindowDrawList(), fonts().body, x + px(16),
               std::floor(top + 0.5f * (target_height() - fonts().body->FontSize)), theme().text, words);
  const float button = px(84);
  ImGui::SetCursorScreenPos({x + width - button - px(12), top});
  ui::ButtonLook look;
  look.width = button;
  if (ui::button("errand.stop", "Stop", look)) run(w, "stop_doing");
  progress_line({x + px(16), top + target_height() + px(8)}, width - px(32), w.errands.fraction(), w.seconds,
                w.reduced_motion);
  ImGui::End();
  ImGui::PopStyleVar();
}

}  // namespace intercusp
