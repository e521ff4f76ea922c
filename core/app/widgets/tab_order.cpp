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
  std::string last;                   ///< where the focus was; outlives a control that is redrawn as another item
  ImGuiWindow* box = nullptr;         ///< the one that Tab stays in
  ImGuiWindow* box_before = nullptr;  ///< in the frame before
  std::string opener;                 ///< the control that had the focus when the box came
  bool goes_back = false;
  bool ringed = false;
  ImRect ring, clip;
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
  // Beside the edge, where a panel fades while there is more.
  constexpr float kFromEdge = 44;
  ImGui::ScrollToBringRectIntoView(
      c.window, {c.rect.Min.x, c.rect.Min.y - px(kFromEdge), c.rect.Max.x, c.rect.Max.y + px(kFromEdge)});
  g.NavDisableHighlight = false;
  g.NavDisableMouseHover = g.NavMousePosDirty = true;
}

}  // namespace

void take_into_tab_order(const char* id) {
  const ImGuiContext& g = *ImGui::GetCurrentContext();
  const ImGuiID item = ImGui::GetItemID();
  if (item != 0) order().controls.push_back({id, g.CurrentWindow, item, g.LastItemData.Rect});
}

void ring_at(ImVec2 from, ImVec2 to) {
  Order& o = order();
  o.ringed = true;
  o.ring = {from, to};
  o.clip = ImGui::GetCurrentContext()->CurrentWindow->ClipRect;
}

void keep_tab_here() {
  order().box = ImGui::GetCurrentContext()->CurrentWindow;
}

bool tab_goes_back() {
  return order().goes_back;
}

void begin_tab_order() {
  Order& o = order();
  o.controls.clear();
  o.box_before = o.box;
  o.box = nullptr;
  o.ringed = false;
}

namespace {

/// Outside of the control: a ring in its own colour would not be seen on it.
void draw_ring() {
  const Order& o = order();
  if (!o.ringed) return;
  const float out = px(2.5f);
  ImDrawList* list = ImGui::GetForegroundDrawList();
  list->PushClipRect({o.clip.Min.x - px(4), o.clip.Min.y - px(4)}, {o.clip.Max.x + px(4), o.clip.Max.y + px(4)});
  list->AddRect({o.ring.Min.x - out, o.ring.Min.y - out}, {o.ring.Max.x + out, o.ring.Max.y + out}, theme().panel,
                px(7), 0, px(5));
  list->AddRect({o.ring.Min.x - out, o.ring.Min.y - out}, {o.ring.Max.x + out, o.ring.Max.y + out}, theme().accent,
                px(7), 0, px(2.5f));
  list->PopClipRect();
}

/// The control of that name; the end where there is none.
std::vector<Control>::iterator named(const std::string& name) {
  std::vector<Control>& controls = order().controls;
  return std::find_if(controls.begin(), controls.end(), [&](const Control& c) { return c.name == name; });
}

/// A box that came keeps Tab within; one that has gone gives the focus back to what opened it.
void follow_boxes() {
  Order& o = order();
  if (o.box && !o.box_before) o.opener = o.last;
  if (o.box) {
    const auto beside = [&](const Control& c) { return c.window->RootWindow != o.box; };
    o.controls.erase(std::remove_if(o.controls.begin(), o.controls.end(), beside), o.controls.end());
  }
  if (o.box || !o.box_before || ImGui::GetCurrentContext()->NavDisableHighlight) return;
  const auto opener = named(o.opener);
  if (opener != o.controls.end()) show_focus(*opener);
}

}  // namespace

void walk_by_tab() {
  const ImGuiContext& g = *ImGui::GetCurrentContext();
  draw_ring();
  std::vector<Control>& controls = order().controls;
  std::stable_sort(controls.begin(), controls.end(), read_before);
  follow_boxes();
  auto at = std::find_if(controls.begin(), controls.end(), [&](const Control& c) { return c.item == g.NavId; });
  order().goes_back = at != controls.end() && at != controls.begin() && !g.NavDisableHighlight;
  if (at != controls.end()) order().last = at->name;
  if (!ImGui::IsKeyPressed(kTabKey) || controls.empty() || g.IO.KeyCtrl || g.IO.KeyAlt) return;
  if (at == controls.end()) at = named(order().last);
  const auto count = static_cast<std::ptrdiff_t>(controls.size());
  std::ptrdiff_t next = 0;
  if (at != controls.end()) next = (at - controls.begin() + (g.IO.KeyShift ? count - 1 : 1)) % count;
  show_focus(controls[static_cast<std::size_t>(next)]);
  order().goes_back = next > 0;
}

}  // namespace intercusp::ui
