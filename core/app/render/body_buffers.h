#pragma once

#include <GLES3/gl3.h>

#include <cstdint>
#include <vector>

#include "app/render/surface_look.h"

namespace intercusp {

/// The GPU side of one surface: made once, posed by a uniform. The gap of each vertex is streamed when contacts change.
class BodyBuffers {
 public:
  /// Works out the look when it is empty.
  BodyBuffers(SurfacePtr surface, SurfaceLookPtr look)
      : surface_(std::move(surface)), look_(look ? std::move(look) : make_look(*surface_)) {}

  /// Uploads vertices and indices.
  void upload();
  /// Frees GPU objects (context current) or only forgets them (context gone).
  void destroy();
  void forget();

  /// One value a vertex, NaN beyond the band; an empty vector clears.
  void set_gap(const std::vector<float>& gap);
  /// One value a vertex, 1 where a zone is painted; an empty vector clears.
  void set_zone(const std::vector<std::uint8_t>& painted);
  void draw(bool light);
  bool has_zone() const { return zoned_; }
  /// Whether faces were sawn or cut back.
  bool has_fresh_faces() const { return !look_->opened.empty(); }

  const SurfacePtr& surface() const { return surface_; }
  std::size_t triangles(bool light) const;

 private:
  SurfacePtr surface_;
  SurfaceLookPtr look_;
  GLuint array_ = 0, vertices_ = 0, gap_ = 0, zone_ = 0, indices_ = 0, light_indices_ = 0;
  bool zoned_ = false;
  GLsizei count_ = 0, light_count_ = 0;
};

}  // namespace intercusp
