#include "app/render/panel_painter.h"

#include <imgui_impl_opengl3.h>

#include "app/render/renderer.h"

namespace intercusp {

namespace {

ImVec4 rectangle(const PixelBox& box) {
  return {static_cast<float>(box.x), static_cast<float>(box.y), static_cast<float>(box.x + box.w),
          static_cast<float>(box.y + box.h)};
}

}  // namespace

void PanelPainter::draw_beside(const ImDrawData& panels, const PixelBox& view, Renderer& renderer) {
  ImDrawData* joined = beside_.beside(panels, rectangle(view));
  const int width = static_cast<int>(panels.DisplaySize.x), height = static_cast<int>(panels.DisplaySize.y);
  if (width != width_ || height != height_) {
    destroy();
    width_ = width;
    height_ = height;
  }
  const std::uint64_t now = beside_.fingerprint();
  // A picture on a panel may change behind its name; only what consists of words and shapes is kept.
  const bool stays = now == seen_ && beside_.uses_only(ImGui::GetIO().Fonts->TexID);
  seen_ = now;
  if (!stays) {
    kept_ = 0;
    return ImGui_ImplOpenGL3_RenderDrawData(joined);
  }
  if (kept_ != now) {
    keep(joined);
    kept_ = now;
  }
  put(view, renderer);
}

void PanelPainter::keep(ImDrawData* panels) {
  if (!buffer_) {
    glGenTextures(1, &picture_);
    glBindTexture(GL_TEXTURE_2D, picture_);
    glTexImage2D(GL_TEXTURE_2D, 0, GL_RGBA8, width_, height_, 0, GL_RGBA, GL_UNSIGNED_BYTE, nullptr);
    for (const GLenum filter : {GL_TEXTURE_MIN_FILTER, GL_TEXTURE_MAG_FILTER})
      glTexParameteri(GL_TEXTURE_2D, filter, GL_NEAREST);
    for (const GLenum wrap : {GL_TEXTURE_WRAP_S, GL_TEXTURE_WRAP_T})
      glTexParameteri(GL_TEXTURE_2D, wrap, GL_CLAMP_TO_EDGE);
    glGenFramebuffers(1, &buffer_);
    glBindFramebuffer(GL_FRAMEBUFFER, buffer_);
    glFramebufferTexture2D(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_TEXTURE_2D, picture_, 0);
  }
  glBindFramebuffer(GL_FRAMEBUFFER, buffer_);
  glClear(GL_COLOR_BUFFER_BIT);  // to the ground that the window was cleared to
  ImGui_ImplOpenGL3_RenderDrawData(panels);
  glBindFramebuffer(GL_FRAMEBUFFER, 0);
}

void PanelPainter::put(const PixelBox& view, Renderer& renderer) const {
  const int right = view.x + view.w, below = view.y + view.h;
  const PixelBox around[] = {{0, 0, width_, view.y},
                             {0, below, width_, height_ - below},
                             {0, view.y, view.x, view.h},
                             {right, view.y, width_ - right, view.h}};
  glEnable(GL_SCISSOR_TEST);
  for (const PixelBox& part : around) {
    if (part.w <= 0 || part.h <= 0) continue;
    glScissor(part.x, height_ - part.y - part.h, part.w, part.h);
    renderer.put(picture_, 0, 0, width_, height_);
  }
  glDisable(GL_SCISSOR_TEST);
}

void PanelPainter::draw_within(const ImDrawData& panels, const PixelBox& view) {
  ImGui_ImplOpenGL3_RenderDrawData(within_.within(panels, rectangle(view)));
}

void PanelPainter::destroy() {
  if (picture_) glDeleteTextures(1, &picture_);
  if (buffer_) glDeleteFramebuffers(1, &buffer_);
  forget();
}

void PanelPainter::forget() {
  picture_ = buffer_ = 0;
  width_ = height_ = 0;
  seen_ = kept_ = 0;
}

}  // namespace intercusp
