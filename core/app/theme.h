#pragma once

#include <imgui.h>

namespace intercusp {

/// Colours of the interface, one set for light and one for dark. Text on its ground has a contrast of at least 4.5
/// to 1.
struct Theme {
  bool dark = false;
  ImU32 panel, raised, hover, held, line;  ///< grounds and hairlines
  ImU32 text, soft, faint;                 ///< text; secondary text; disabled (no information rests on it alone)
  ImU32 accent, on_accent, accent_ground;  ///< what can be done, chosen things
  ImU32 view_top, view_bottom, ghost;
  ImU32 upper, lower;  ///< the two jaws in drawings
  // Signals (Okabe and Ito 2008), each used with a second cue: `*_text` has the contrast for words.
  ImU32 overlap, overlap_text, gap, gap_text, usual, usual_text;
};

const Theme& light_theme();
const Theme& dark_theme();

/// The theme and the scale of the frame being drawn. Set once a frame by the app, read by panels.
const Theme& theme();
void use_theme(const Theme& t, float scale, bool touch);
/// Device pixels of a length in logical pixels, whole.
float px(float logical);
bool touch_input();
/// Least height of a thing to press: 28 px with a mouse, 44 px with a finger.
float target_height();

/// Inter in the sizes of the interface, digits of one width. Rebuilt when the scale changes. Sizes are line heights:
/// the letters themselves are 1/1.21 of it (18 gives 15 px letters).
struct Fonts {
  ImFont *body = nullptr, *small = nullptr, *strong = nullptr, *small_strong = nullptr, *heading = nullptr;
  ImFont* tiny = nullptr;  ///< beside a number: its side, its uncertainty
};
const Fonts& fonts();
/// Rasterises the fonts into the current ImGui context's atlas.
void build_fonts(float scale);

ImU32 with_alpha(ImU32 colour, float alpha);
ImU32 mixed(ImU32 a, ImU32 b, float t);
/// Relative contrast of two opaque colours (WCAG 2.1).
double contrast(ImU32 a, ImU32 b);
/// ImGui's own style (input fields, scroll bars, tooltips) in the colours of the theme.
void apply_style();

}  // namespace intercusp
