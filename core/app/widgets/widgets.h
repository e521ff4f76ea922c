// The program's own controls. Each draws its states (rest, hover, held, focus, disabled), keeps the least height of a
// target, and leaves its rectangle in the widget map so that a test or a script can find it by id.
#pragma once

#include <imgui.h>

#include <map>
#include <string>
#include <vector>

#include "app/view/camera.h"

namespace intercusp::ui {

/// Rectangles of this frame's controls by id, device pixels.
std::map<std::string, Rect>& widget_map();
/// A text field of the library's, drawn last: into the widget map and the order of Tab.
void note_field(const char* id);
/// The control that the keyboard's focus is shown on; empty while it is not shown.
std::string& focused_control();
void note_rect(const std::string& id, ImVec2 from, ImVec2 to);

/// A piece of text as it was drawn: a test reads them to see that nothing is cut off and nothing covers anything else.
struct TextMark {
  std::string owner;  ///< the window or layer it was drawn in
  std::string words;
  Rect rect, clip;  ///< device pixels
  bool scrolls;     ///< what is cut off at the top or bottom can be scrolled to
};
/// The texts of this frame.
std::vector<TextMark>& text_log();
void note_text(ImDrawList* list, const Rect& rect, const std::string& words);

enum class Weight { plain, primary, quiet };
struct ButtonLook {
  Weight weight = Weight::plain;
  bool enabled = true;
  bool chosen = false;
  float width = 0;  ///< device pixels; 0 = by the label, negative = the rest of the line
  const char* hint = nullptr;
};

/// A button with words. `id` is also its name in the widget map.
bool button(const char* id, const char* label, const ButtonLook& look = {});
/// A switch with words; returns true when it was turned.
bool toggle(const char* id, const char* label, bool& on, const char* hint = nullptr);
/// Words that act, underlined when touched.
bool link(const char* id, const char* label);
/// An invisible area that acts; for rows and drawings.
struct AreaState {
  bool hovered = false, held = false, clicked = false, focused = false;
};
AreaState area(const char* id, ImVec2 size);

/// A line to type into, with a hint while it is empty; `width` in device pixels, negative: as wide as there is room.
/// True when it was changed.
bool text_field(const char* id, const char* hint, std::string& text, float width = -1);
/// A line of text to copy from.
void read_only_line(const char* id, std::string text, float width);
/// Lines to type into.
bool text_lines(const char* id, std::string& text, int lines);

void heading(const char* words);
/// A title with a quiet button at the end of its line, `right` being where that ends in the window. True when pressed.
bool title_line(ImFont* font, const char* title, const char* id, const char* label, float right,
                const char* hint = nullptr);
void soft_text(const char* words);
/// Wrapped text in a font and colour.
void paragraph(ImFont* font, ImU32 colour, const char* words);
/// Text at a place of a draw list, aligned: 0 = starts at x, 0.5 = centred, 1 = ends at x. Returns its width.
float put_text(ImDrawList* list, ImFont* font, float x, float y, ImU32 colour, const std::string& words,
               float align = 0);
/// Text in lines of at most `width`, from the upper left corner given. Returns its height.
float put_lines(ImDrawList* list, ImFont* font, float x, float y, float width, ImU32 colour, const std::string& words);
/// How tall `put_lines` will draw them.
float lines_height(ImFont* font, const std::string& words, float width);
/// The words, shortened with an ellipsis where they are wider than `width`.
std::string fitted(ImFont* font, const std::string& words, float width);
float text_width(ImFont* font, const std::string& words);
/// Hatched rectangle: the second cue of a signal colour.
void hatch(ImDrawList* list, ImVec2 from, ImVec2 to, ImU32 colour, float step);
/// A mark at the end of a scale for a value that lies beyond it: an arrow outwards, `way` +1 to the right or -1.
void beyond_mark(ImDrawList* list, const std::string& id, ImVec2 end, int way, ImU32 colour, bool filled);
/// Words about the control drawn last, while the pointer is on it: once the pointer has rested there for a moment,
/// beside the control and not over it, and no more after a press, which has its own answer. None for a finger.
void hint_tip(const char* words);
/// Seconds until a tip is to show, though nothing else changes; infinite where none waits.
double tip_due_in();
void gap_above(float logical);

}  // namespace intercusp::ui
