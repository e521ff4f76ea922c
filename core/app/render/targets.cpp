#include "app/render/targets.h"

namespace intercusp {

namespace {

GLuint texture(int width, int height, bool depth, GLint filter) {
  GLuint t = 0;
  glGenTextures(1, &t);
  glBindTexture(GL_TEXTURE_2D, t);
  if (depth)
    glTexImage2D(GL_TEXTURE_2D, 0, GL_DEPTH24_STENCIL8, width, height, 0, GL_DEPTH_STENCIL, GL_UNSIGNED_INT_24_8,
                 nullptr);
  else
    glTexImage2D(GL_TEXTURE_2D, 0, GL_RGBA8, width, height, 0, GL_RGBA, GL_UNSIGNED_BYTE, nullptr);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, filter);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, filter);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_S, GL_CLAMP_TO_EDGE);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_T, GL_CLAMP_TO_EDGE);
  return t;
}

GLuint framebuffer(GLuint colour, GLuint depth) {
  GLuint f = 0;
  glGenFramebuffers(1, &f);
  glBindFramebuffer(GL_FRAMEBUFFER, f);
  if (colour) glFramebufferTexture2D(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_TEXTURE_2D, colour, 0);
  if (depth) glFramebufferTexture2D(GL_FRAMEBUFFER, GL_DEPTH_STENCIL_ATTACHMENT, GL_TEXTURE_2D, depth, 0);
  if (!colour) {
    const GLenum none = GL_NONE;
    glDrawBuffers(1, &none);
  }
  return f;
}

}  // namespace

void Targets::make_plain() {
  colour_ = texture(width_, height_, false, GL_NEAREST);
  depth_ = texture(width_, height_, true, GL_NEAREST);
  ghost_depth_ = texture(width_, height_, true, GL_NEAREST);
  picture_ = texture(width_, height_, false, GL_LINEAR);
  scene_buffer_ = framebuffer(colour_, depth_);
  ghost_buffer_ = framebuffer(0, ghost_depth_);
  picture_buffer_ = framebuffer(picture_, 0);
}

void Targets::make_multisampled() {
  glGenRenderbuffers(1, &multi_colour_);
  glBindRenderbuffer(GL_RENDERBUFFER, multi_colour_);
  glRenderbufferStorageMultisample(GL_RENDERBUFFER, samples_, GL_RGBA8, width_, height_);
  glGenRenderbuffers(1, &multi_depth_);
  glBindRenderbuffer(GL_RENDERBUFFER, multi_depth_);
  glRenderbufferStorageMultisample(GL_RENDERBUFFER, samples_, GL_DEPTH24_STENCIL8, width_, height_);
  glGenFramebuffers(1, &multi_buffer_);
  glBindFramebuffer(GL_FRAMEBUFFER, multi_buffer_);
  glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_RENDERBUFFER, multi_colour_);
  glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_DEPTH_STENCIL_ATTACHMENT, GL_RENDERBUFFER, multi_depth_);
}

void Targets::fit(int width, int height, int samples) {
  if (width != width_ || height != height_) {
    destroy();
    width_ = width;
    height_ = height;
    make_plain();
  }
  samples_ = samples;
  if (samples > 1 && !multi_buffer_) make_multisampled();
}

void Targets::destroy() {
  const GLuint textures[] = {colour_, depth_, ghost_depth_, picture_};
  const GLuint buffers[] = {scene_buffer_, ghost_buffer_, picture_buffer_, multi_buffer_};
  const GLuint stores[] = {multi_colour_, multi_depth_};
  glDeleteTextures(4, textures);
  glDeleteFramebuffers(4, buffers);
  glDeleteRenderbuffers(2, stores);
  forget();
}

void Targets::begin_scene() const {
  glBindFramebuffer(GL_FRAMEBUFFER, samples_ > 1 ? multi_buffer_ : scene_buffer_);
}

void Targets::finish_scene() const {
  if (samples_ <= 1) return;
  glBindFramebuffer(GL_READ_FRAMEBUFFER, multi_buffer_);
  glBindFramebuffer(GL_DRAW_FRAMEBUFFER, scene_buffer_);
  glBlitFramebuffer(0, 0, width_, height_, 0, 0, width_, height_, GL_COLOR_BUFFER_BIT | GL_DEPTH_BUFFER_BIT,
                    GL_NEAREST);
}

void Targets::begin_ghost() const {
  glBindFramebuffer(GL_FRAMEBUFFER, ghost_buffer_);
}
void Targets::begin_picture() const {
  glBindFramebuffer(GL_FRAMEBUFFER, picture_buffer_);
}

}  // namespace intercusp
