#pragma once

#include <imgui.h>

namespace intercusp::ui {

/// Takes the item drawn last into the order in which Tab walks; `id` is its name in the widget map.
void take_into_tab_order(const char* id);
/// The control that has the keyboard is ringed at the end of the frame, over what it draws itself.
void ring_at(ImVec2 from, ImVec2 to);
/// While the window drawn now stands, Tab goes round in it; when it has gone, the focus is where it was before.
void keep_tab_here();
/// Whether a control before the one that has the keyboard is there for Shift+Tab.
bool tab_goes_back();
/// Forgets the order of the frame before; when a frame begins.
void begin_tab_order();
/// After all controls of a frame: Tab shows the focus on the next control on screen, Shift+Tab on the one before, from
/// panel to panel as they are read. (The library's own Tab knows text fields alone.)
void walk_by_tab();

}  // namespace intercusp::ui
