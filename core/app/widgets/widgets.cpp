#include "app/widgets/widgets.h"

#include <imgui_internal.h>
#include <misc/cpp/imgui_stdlib.h>

#include <algorithm>
#include <cmath>

#include "app/theme.h"
#include "app/widgets/lines.h"
#include "app/widgets/tab_order.h"

namespace intercusp::ui {

std::map<std::string, Rect>& widget_map() {
  static std::map<std::string, Rect> map;
  return map;
}

std::string& focused_control() {
  static std::string id;
  return id;
}

void note_rect(const std::string& id, ImVec2 from, ImVec2 to) {
  widget_map()[id] = {from.x, from.y, to.x - from.x, to.y - from.y};
}

void note_field(const char* id) {
  take_into_tab_order(id);
  note_rect(id, ImGui::GetItemRectMin(), ImGui::GetItemRectMax());
  if (ImGui::IsItemFocused() && ImGui::GetIO().NavVisible) focused_control() = id;
}

std::vector<TextMark>& text_log() {
  static std::vector<TextMark> log;
  return log;
}

void note_text(ImDrawList* list, const Rect& rect, const std::string& words) {
  const char* owner = list->_OwnerName ? list->_OwnerName : "";
  const ImVec4& c = list->_CmdHeader.ClipRect;
  const ImGuiWindow* window = ImGui::FindWindowByName(owner);
  text_log().push_back({owner, words, rect, {c.x, c.y, c.z - c.x, c.w - c.y}, window && window->ScrollMax.y > 0});
}

AreaState area(const char* id, ImVec2 size) {
  AreaState state;
  size.x = std::max(size.x, 1.0f);
  size.y = std::max(size.y, 1.0f);
  state.clicked = ImGui::InvisibleButton(id, size);
  take_into_tab_order(id);
  state.hovered = ImGui::IsItemHovered();
  state.held = ImGui::IsItemActive();
  state.focused = ImGui::IsItemFocused() && ImGui::GetIO().NavVisible;
  // The library presses a control by the space bar alone.
  if (state.focused && ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Enter), false)) state.clicked = true;
  if (state.focused) focused_control() = id;
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  note_rect(id, from, to);
  if (state.focused) ring_at(from, to);
  return state;
}

namespace {

struct ButtonColours {
  ImU32 ground, words;
};

ButtonColours colours_of(const ButtonLook& look, const AreaState& s) {
  const Theme& t = theme();
  if (!look.enabled) return {look.weight == Weight::quiet ? 0 : with_alpha(t.raised, 0.6f), t.faint};
  if (look.weight == Weight::primary)
    return {s.held      ? mixed(t.accent, t.text, 0.25f)
            : s.hovered ? mixed(t.accent, t.text, 0.12f)
                        : t.accent,
            t.on_accent};
  if (look.chosen) return {s.hovered ? mixed(t.accent_ground, t.accent, 0.12f) : t.accent_ground, t.accent};
  const ImU32 rest = look.weight == Weight::quiet ? 0 : t.raised;
  return {s.held ? t.held : s.hovered ? t.hover : rest, t.text};
}

}  // namespace

bool button(const char* id, const char* label, const ButtonLook& look) {
  ImFont* font = look.weight == Weight::primary || look.chosen ? fonts().strong : fonts().body;
  const float words = text_width(font, label);
  float width = look.width > 0 ? look.width : words + px(look.weight == Weight::quiet ? 16 : 24);
  if (look.width < 0) width = ImGui::GetContentRegionAvail().x;
  const AreaState s = area(id, {width, target_height()});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  const ButtonColours c = colours_of(look, s);
  ImDrawList* list = ImGui::GetWindowDrawList();
  if (c.ground) list->AddRectFilled(from, to, c.ground, px(6));
  const float y = std::floor(0.5f * (from.y + to.y - font->FontSize));
  list->PushClipRect(from, to, true);
  put_text(list, font, 0.5f * (from.x + to.x), y, c.words, label, 0.5f);
  list->PopClipRect();
  if (s.hovered && look.hint) hint_tip(look.hint);
  return s.clicked && look.enabled;
}

bool toggle(const char* id, const char* label, bool& on, const char* hint) {
  const Theme& t = theme();
  const float box_w = px(30), box_h = px(16), height = target_height();
  const AreaState s = area(id, {box_w + px(8) + text_width(fonts().body, label), height});
  const ImVec2 from = ImGui::GetItemRectMin();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const float y = std::floor(from.y + 0.5f * (height - box_h));
  const ImU32 ground = on ? t.accent : s.hovered ? t.held : t.line;
  list->AddRectFilled({from.x, y}, {from.x + box_w, y + box_h}, ground, 0.5f * box_h);
  const float r = 0.5f * box_h - px(2);
  const float cx = on ? from.x + box_w - r - px(2) : from.x + r + px(2);
  list->AddCircleFilled({cx, y + 0.5f * box_h}, r, on ? t.on_accent : t.panel);
  put_text(list, fonts().body, from.x + box_w + px(8), std::floor(from.y + 0.5f * (height - fonts().body->FontSize)),
           t.text, label);
  if (s.hovered && hint) hint_tip(hint);
  if (s.clicked) on = !on;
  return s.clicked;
}

bool link(const char* id, const char* label) {
  ImFont* font = fonts().small;
  const float width = std::max(text_width(font, label), touch_input() ? target_height() : 0);
  const AreaState s = area(id, {width, std::max(font->FontSize + px(2), touch_input() ? target_height() : 0)});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  const float y = std::floor(0.5f * (from.y + to.y - font->FontSize));
  ImDrawList* list = ImGui::GetWindowDrawList();
  put_text(list, font, from.x, y, theme().accent, label);
  if (s.hovered || s.focused)
    list->AddLine({from.x, y + font->FontSize + px(1)}, {from.x + text_width(font, label), y + font->FontSize + px(1)},
                  theme().accent, px(1));
  return s.clicked;
}

void read_only_line(const char* id, std::string text, float width) {
  ImGui::SetNextItemWidth(width);
  ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, ImVec2(px(6), 0.5f * (target_height() - fonts().body->FontSize)));
  ImGui::InputText((std::string("##") + id).c_str(), &text,
                   ImGuiInputTextFlags_ReadOnly | ImGuiInputTextFlags_AutoSelectAll);
  note_field(id);
  ImGui::PopStyleVar();
}

bool text_field(const char* id, const char* hint, std::string& text, float width) {
  ImGui::SetNextItemWidth(width);
  ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, ImVec2(px(6), 0.5f * (target_height() - fonts().body->FontSize)));
  const bool changed = ImGui::InputTextWithHint((std::string("##") + id).c_str(), hint, &text);
  note_field(id);
  ImGui::PopStyleVar();
  return changed;
}

bool text_lines(const char* id, std::string& text, int lines) {
  const float height = static_cast<float>(lines) * fonts().body->FontSize + px(12);
  const bool changed = ImGui::InputTextMultiline((std::string("##") + id).c_str(), &text, {-1, height});
  note_field(id);
  return changed;
}

void heading(const char* words) {
  paragraph(fonts().heading, theme().text, words);
}
bool title_line(ImFont* font, const char* title, const char* id, const char* label, float right, const char* hint) {
  ButtonLook quiet;
  quiet.weight = Weight::quiet;
  quiet.hint = hint;
  quiet.width = std::max(text_width(fonts().body, label) + px(16), touch_input() ? target_height() : 0);
  const ImVec2 at = ImGui::GetCursorPos();
  const float h = target_height(), lift = std::min(at.y, std::floor(0.5f * std::max(0.0f, h - font->FontSize)));
  paragraph(font, theme().text, fitted(font, title, right - at.x - quiet.width - px(8)).c_str());
  ImGui::SetCursorPos({right - quiet.width, at.y - lift});
  const bool pressed = button(id, label, quiet);
  ImGui::SetCursorPos({at.x, at.y + std::max(font->FontSize, h - lift) + px(6)});
  return pressed;
}

void soft_text(const char* words) {
  paragraph(fonts().small, theme().soft, words);
}

void paragraph(ImFont* font, ImU32 colour, const char* words) {
  ImGui::PushFont(font);
  ImGui::PushStyleColor(ImGuiCol_Text, colour);
  ImGui::TextUnformatted(in_lines(font, words, ImGui::GetContentRegionAvail().x).c_str());
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  note_text(ImGui::GetWindowDrawList(), {from.x, from.y, to.x - from.x, to.y - from.y}, words);
  ImGui::PopStyleColor();
  ImGui::PopFont();
}

float lines_height(ImFont* font, const std::string& words, float width) {
  return font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, in_lines(font, words, width).c_str()).y;
}

float text_width(ImFont* font, const std::string& words) {
  return std::ceil(font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, words.c_str(), words.c_str() + words.size()).x);
}

std::string fitted(ImFont* font, const std::string& words, float width) {
  if (text_width(font, words) <= width) return words;
  std::string cut = words;
  while (!cut.empty() && text_width(font, cut + "\xE2\x80\xA6") > width) {
    while (!cut.empty() && (cut.back() & 0xC0) == 0x80) cut.pop_back();  // the rest of a letter of several bytes
    if (!cut.empty()) cut.pop_back();
  }
  return cut + "\xE2\x80\xA6";
}

float put_text(ImDrawList* list, ImFont* font, float x, float y, ImU32 colour, const std::string& words, float align) {
  const float w = text_width(font, words);
  const ImVec2 at{std::floor(x - align * w), std::floor(y)};
  list->AddText(font, font->FontSize, at, colour, words.c_str(), words.c_str() + words.size());
  note_text(list, {at.x, at.y, w, font->FontSize}, words);
  return w;
}

float put_lines(ImDrawList* list, ImFont* font, float x, float y, float width, ImU32 colour, const std::string& words) {
  const std::string lines = in_lines(font, words, width);
  const ImVec2 size = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, lines.c_str());
  list->AddText(font, font->FontSize, {std::floor(x), std::floor(y)}, colour, lines.c_str());
  note_text(list, {std::floor(x), std::floor(y), size.x, size.y}, words);
  return size.y;
}

void hatch(ImDrawList* list, ImVec2 from, ImVec2 to, ImU32 colour, float step) {
  list->PushClipRect(from, to, true);
  const float h = to.y - from.y;
  for (float x = from.x - h; x < to.x; x += step)
    list->AddLine({x, to.y}, {x + h, from.y}, colour, std::max(1.0f, px(1)));
  list->PopClipRect();
}

void beyond_mark(ImDrawList* list, const std::string& id, ImVec2 end, int way, ImU32 colour, bool filled) {
  const float d = static_cast<float>(way), h = px(4);
  const ImVec2 tip{end.x + d * px(4), end.y}, a{end.x - d * px(4), end.y - h}, b{end.x - d * px(4), end.y + h};
  filled ? list->AddTriangleFilled(tip, a, b, colour) : list->AddTriangle(tip, a, b, colour, std::max(1.0f, px(1)));
  if (filled) note_rect("beyond." + id, {end.x - px(4), end.y - h}, {end.x + px(4), end.y + h});
}

void gap_above(float logical) {
  ImGui::Dummy({0, px(logical) - ImGui::GetStyle().ItemSpacing.y});
}

}  // namespace intercusp::ui
