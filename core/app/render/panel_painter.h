#pragma once

#include <GLES3/gl3.h>

#include <cstdint>

#include "app/render/joined_draws.h"

namespace intercusp {

class Renderer;

/// A part of the window in whole device pixels, y downwards.
struct PixelBox {
  int x = 0, y = 0, w = 0, h = 0;
};

/// Draws the panels in two parts: what shows beside the view, from a picture kept of it for as long as it stays the
/// same (while the model turns it does), and what shows over the view. Between the two the view itself is drawn.
class PanelPainter {
 public:
  /// Draws all that shows beside `view` into the framebuffer that is bound as 0, and may spill into `view`.
  void draw_beside(const ImDrawData& panels, const PixelBox& view, Renderer& renderer);
  /// Draws all that shows within `view`.
  void draw_within(const ImDrawData& panels, const PixelBox& view);

  void destroy();
  /// The context is gone, and its objects with it; also where the font's texture is made anew.
  void forget();

 private:
  void keep(ImDrawData* panels);
  void put(const PixelBox& view, Renderer& renderer) const;

  JoinedDraws beside_, within_;
  std::uint64_t seen_ = 0;  ///< what was drawn in the frame before
  std::uint64_t kept_ = 0;  ///< what the picture shows; 0: nothing
  int width_ = 0, height_ = 0;
  GLuint picture_ = 0, buffer_ = 0;
};

}  // namespace intercusp
