#include "app/widgets/tab_order.h"

#include <imgui_internal.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "app/theme.h"
#include "app/view/arrow_keys.h"

namespace intercusp::ui {

namespace {

struct Control {
  std::string name;
  ImGuiWindow* window;
  ImGuiID item;
  ImRect rect;
};

struct Order {
  std::vector<Control> controls;
  std::string last;  ///< where the focus was; outlives a control that is redrawn as another item
};

Order& order() {
  static Order o;
  return o;
}

// Panels side by side are read from left to right, then those below them.
bool read_before(const Control& a, const Control& b) {
  const auto band = [](const Control& c) { return std::floor(c.window->Pos.y / px(120)); };
  if (band(a) != band(b)) return band(a) < band(b);
  return a.window->Pos.x < b.window->Pos.x;
}

void show_focus(const Control& c) {
  ImGuiContext& g = *ImGui::GetCurrentContext();
  if (g.ActiveId != 0) ImGui::ClearActiveID();
  ImGui::FocusWindow(c.window);
  const ImRect relative(c.rect.Min.x - c.window->Pos.x, c.rect.Min.y - c.window->Pos.y, c.rect.Max.x - c.window->Pos.x,
                        c.rect.Max.y - c.window->Pos.y);
  ImGui::SetNavID(c.item, ImGuiNavLayer_Main, 0, relative);
  ImGui::ScrollToBringRectIntoView(c.window, c.rect);
  g.NavDisableHighlight = false;
  g.NavDisableMouseHover = g.NavMousePosDirty = true;
}

}  // namespace

void take_into_tab_order(const char* id) {
  const ImGuiContext& g = *ImGui::GetCurrentContext();
  const ImGuiID item = ImGui::GetItemID();
  if (item != 0) order().controls.push_back({id, g.CurrentWindow, item, g.LastItemData.Rect});
}

void begin_tab_order() {
  order().controls.clear();
}

void walk_by_tab() {
  const ImGuiContext& g = *ImGui::GetCurrentContext();
  std::vector<Control>& controls = order().controls;
  std::stable_sort(controls.begin(), controls.end(), read_before);
  auto at = std::find_if(controls.begin(), controls.end(), [&](const Control& c) { return c.item == g.NavId; });
  if (at != controls.end()) order().last = at->name;
  if (!ImGui::IsKeyPressed(kTabKey) || controls.empty() || g.IO.KeyCtrl || g.IO.KeyAlt) return;
  if (at == controls.end())
    at = std::find_if(controls.begin(), controls.end(), [](const Control& c) { return c.name == order().last; });
  const auto count = static_cast<std::ptrdiff_t>(controls.size());
  std::ptrdiff_t next = 0;
  if (at != controls.end()) next = (at - controls.begin() + (g.IO.KeyShift ? count - 1 : 1)) % count;
  show_focus(controls[static_cast<std::size_t>(next)]);
}

}  // namespace intercusp::ui
