#include <algorithm>

#include "app/panels/panels.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"

namespace intercusp {

namespace {

constexpr double kNoteSeconds = 5, kWarningSeconds = 14;

void draw(Workspace& w, Message& m, std::size_t index, float x, float& bottom, float width) {
  const Theme& t = theme();
  std::string words = m.what;
  if (!m.meaning.empty()) words += "\n" + m.meaning;
  if (!m.remedy.empty()) words += "\n" + m.remedy;
  const float inner = width - px(44);
  const float h = std::max(ui::lines_height(fonts().small, words, inner) + px(20), touch_input() ? target_height() : 0);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, px(8));
  ImGui::SetNextWindowPos({x, bottom - h});
  ImGui::SetNextWindowSize({width, h});
  const std::string id = "message." + std::to_string(index);
  ImGui::Begin(id.c_str(), nullptr,
               ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                   ImGuiWindowFlags_NoFocusOnAppearing);
  ImDrawList* list = ImGui::GetWindowDrawList();
  const ImU32 edge = m.kind == Message::Kind::note ? t.accent : t.overlap_text;
  list->AddRectFilled({x, bottom - h}, {x + px(m.kind == Message::Kind::failure ? 6 : 4), bottom}, edge, px(2));
  ui::put_lines(list, fonts().small, x + px(16), bottom - h + px(10), inner, t.text, words);
  ImGui::SetCursorPos({0, 0});
  if (ui::area((id + ".close").c_str(), {width, h}).clicked) m.until = 1e-9;
  ImGui::End();
  ImGui::PopStyleVar();
  bottom -= h + px(8);
  w.wake_at(m.until);
}

}  // namespace

void show_messages(Workspace& w, const Screen& s, float foot) {
  for (Message& m : w.messages)
    if (m.until == 0) m.until = w.seconds + (m.kind == Message::Kind::note ? kNoteSeconds : kWarningSeconds);
  w.messages.erase(
      std::remove_if(w.messages.begin(), w.messages.end(), [&](const Message& m) { return m.until < w.seconds; }),
      w.messages.end());
  const float width = std::min(px(380), s.view.w - px(16));
  float bottom = std::min(s.view.y + s.view.h - px(72), foot - px(8));
  const float x = std::floor(s.view.x + 0.5f * (s.view.w - width));
  for (std::size_t i = w.messages.size(); i-- > 0;) draw(w, w.messages[i], i, x, bottom, width);
}

}  // namespace intercusp
