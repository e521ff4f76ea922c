#pragma once

#include <GLES3/gl3.h>

namespace intercusp {

/// Off-screen pictures of the view area: the scene (with or without multisampling), its depth, the ghost's depth, and
/// the finished picture that is shown again while only panels change.
class Targets {
 public:
  /// Makes everything at the size asked, if it is not there already. `samples` is 1 or 4.
  void fit(int width, int height, int samples);
  void destroy();
  void forget() { *this = Targets(); }

  void begin_scene() const;   ///< binds the scene
  void finish_scene() const;  ///< resolves multisampling into the textures
  void begin_ghost() const;
  void begin_picture() const;

  GLuint colour() const { return colour_; }
  GLuint depth() const { return depth_; }
  GLuint ghost_depth() const { return ghost_depth_; }
  GLuint picture() const { return picture_; }
  int width() const { return width_; }
  int height() const { return height_; }

 private:
  void make_plain();
  void make_multisampled();
  int width_ = 0, height_ = 0, samples_ = 0;
  GLuint colour_ = 0, depth_ = 0, ghost_depth_ = 0, picture_ = 0;
  GLuint scene_buffer_ = 0, ghost_buffer_ = 0, picture_buffer_ = 0;
  GLuint multi_buffer_ = 0, multi_colour_ = 0, multi_depth_ = 0;
};

}  // namespace intercusp
