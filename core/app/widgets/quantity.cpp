#include "app/widgets/quantity.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "app/theme.h"
#include "app/widgets/widgets.h"

namespace intercusp::ui {

namespace {

constexpr double kPixelsPerStep = 6;

/// The one quantity that is being dragged or typed.
struct Editing {
  ImGuiID id = 0;
  bool typing = false, focus = false, moved = false;
  bool active = false;  ///< the field had the keyboard in the frame before
  std::string refused;  ///< what was entered and is no number
  double begin = 0;
  char text[32] = {};
};

Editing& editing() {
  static Editing e;
  return e;
}

// Reads what was typed; a comma counts as the decimal sign.
std::optional<double> typed_number(std::string text) {
  std::replace(text.begin(), text.end(), ',', '.');
  char* end = nullptr;
  const double v = std::strtod(text.c_str(), &end);
  if (end == text.c_str() || !std::isfinite(v)) return std::nullopt;
  return v;
}

/// What is wrong with a text that is to be a number; empty where it is one.
std::string why_refused(const std::string& text, const QuantityLook& look) {
  const auto number = typed_number(text);
  if (!number) return "\"" + text + "\" is not a number: type digits, as 2.5";
  if (!look.range || (*number >= look.range->first && *number <= look.range->second)) return {};
  char range[64];
  std::snprintf(range, sizeof range, " is outside %g to %g", look.range->first, look.range->second);
  return text + range;
}

/// Under the field, over all else: a hint of the pointer would stand wherever the pointer is.
void say_refused(const std::string& words) {
  const ImVec2 from{ImGui::GetItemRectMin().x, ImGui::GetItemRectMax().y + px(2)};
  const ImVec2 to{from.x + text_width(fonts().small, words) + px(16), from.y + fonts().small->FontSize + px(10)};
  ImDrawList* list = ImGui::GetForegroundDrawList();
  list->AddRectFilled(from, to, theme().panel, px(4));
  list->AddRect(from, to, theme().overlap_text, px(4));
  put_text(list, fonts().small, from.x + px(8), from.y + px(5), theme().overlap_text, words);
}

QuantityEdit type(const char* id, const QuantityLook& look, float width) {
  Editing& e = editing();
  QuantityEdit out;
  ImGui::PushItemWidth(width);
  ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, ImVec2(px(6), 0.5f * (target_height() - fonts().body->FontSize)));
  if (e.focus) ImGui::SetKeyboardFocusHere();
  e.focus = false;
  const ImGuiInputTextFlags flags = ImGuiInputTextFlags_EnterReturnsTrue | ImGuiInputTextFlags_AutoSelectAll;
  const bool entered = ImGui::InputText((std::string("##") + id).c_str(), e.text, sizeof e.text, flags);
  note_field(id);
  // Tab takes the field from under the hand, which the library does not call leaving it.
  const bool taken = e.active && !ImGui::IsItemActive() && !e.focus;
  const bool left = ImGui::IsItemDeactivated() || taken;
  e.active = ImGui::IsItemActive();
  const bool escaped = ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape));
  ImGui::PopStyleVar();
  ImGui::PopItemWidth();
  if (!e.refused.empty() && e.refused == e.text) say_refused(why_refused(e.refused, look));
  if (entered && *e.text && !why_refused(e.text, look).empty()) {
    // It stays to be mended; leaving the field gives it up.
    e.refused = e.text;
    e.focus = true;
    return out;
  }
  if (!entered && !left) return out;
  if (!escaped) {
    const auto v = typed_number(e.text);
    if (v && why_refused(e.text, look).empty() && (look.unset || std::abs(*v - look.value) > 1e-9)) out.value = v;
  }
  out.finished = true;
  e = {};
  return out;
}

void begin_typing(Editing& e, const QuantityLook& look) {
  e.typing = e.focus = true;
  if (look.unset)
    e.text[0] = '\0';
  else
    std::snprintf(e.text, sizeof e.text, "%.2f", look.value);
}

void draw(const QuantityLook& look, const AreaState& s) {
  const Theme& t = theme();
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const ImU32 ground = s.held ? t.held : s.hovered ? t.hover : look.locked ? t.accent_ground : t.raised;
  list->AddRectFilled(from, to, ground, px(5));
  if (look.locked) list->AddRectFilled(from, {from.x + px(3), to.y}, t.accent, px(2));
  const float y = std::floor(0.5f * (from.y + to.y - fonts().body->FontSize));
  list->PushClipRect(from, to, true);
  put_text(list, fonts().body, from.x + px(8), y, look.enabled ? t.text : t.faint, look.words);
  list->PopClipRect();
  if (s.hovered && !s.held) ImGui::SetMouseCursor(ImGuiMouseCursor_ResizeEW);
}

}  // namespace

QuantityEdit quantity(const char* id, const QuantityLook& look) {
  Editing& e = editing();
  const ImGuiID own = ImGui::GetID(id);
  const float width = look.width > 0 ? look.width : text_width(fonts().body, look.words) + px(16);
  if (e.id == own && e.typing) return type(id, look, std::max(width, px(72)));
  QuantityEdit out;
  const AreaState s = area(id, {width, target_height()});
  draw(look, s);
  if (!look.enabled) return out;
  if (s.hovered && ImGui::IsMouseClicked(1)) out.lock_turned = true;
  const bool by_key = s.clicked && !ImGui::IsItemDeactivated();
  if (ImGui::IsItemActivated() || by_key) e = Editing{own, false, false, false, false, "", look.value, {}};
  if (s.held && e.id == own) {
    const float dx = ImGui::GetMouseDragDelta(0, px(3)).x;
    if (dx != 0) e.moved = true;
    const double snap = ImGui::GetIO().KeyAlt ? 0.1 * look.step : look.step;
    const double v = std::round((e.begin + std::trunc(dx / px(1) / kPixelsPerStep) * snap) / snap) * snap;
    out.dragging = e.moved;
    if (e.moved && std::abs(v - look.value) > 1e-9) out.value = v;
  }
  if (by_key) begin_typing(e, look);
  if (ImGui::IsItemDeactivated() && e.id == own) {
    if (e.moved) {
      out.finished = true;
      e = {};
    } else {
      begin_typing(e, look);
    }
  }
  if (s.hovered && !s.held && look.hint) hint_tip(look.hint);
  return out;
}

}  // namespace intercusp::ui
