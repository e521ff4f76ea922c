#pragma once

#include <GLES3/gl3.h>

#include <vector>

#include "geometry/surface.h"

namespace intercusp {

/// The GPU side of one surface: made once, posed by a uniform. The gap of each vertex is streamed when contacts change.
class BodyBuffers {
 public:
  explicit BodyBuffers(SurfacePtr surface) : surface_(std::move(surface)) {}

  /// Uploads vertices and indices; cavity is computed once and kept.
  void upload();
  /// Frees GPU objects (context current) or only forgets them (context gone).
  void destroy();
  void forget();

  /// One value a vertex, NaN beyond the band; an empty vector clears.
  void set_gap(const std::vector<float>& gap);
  void draw(bool light);

  const SurfacePtr& surface() const { return surface_; }
  std::size_t triangles(bool light) const;

 private:
  void make_light();
  SurfacePtr surface_;
  std::vector<float> cavity_;
  GLuint array_ = 0, vertices_ = 0, gap_ = 0, indices_ = 0, light_indices_ = 0;
  GLsizei count_ = 0, light_count_ = 0;
};

}  // namespace intercusp
