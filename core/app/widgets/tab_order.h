#pragma once

namespace intercusp::ui {

/// Takes the item drawn last into the order in which Tab walks; `id` is its name in the widget map.
void take_into_tab_order(const char* id);
/// Forgets the order of the frame before; when a frame begins.
void begin_tab_order();
/// After all controls of a frame: Tab shows the focus on the next control on screen, Shift+Tab on the one before, from
/// panel to panel as they are read. (The library's own Tab knows text fields alone.)
void walk_by_tab();

}  // namespace intercusp::ui
