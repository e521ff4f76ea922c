// A body with fewer triangles, for numbers that are wanted at once and may be a little off.
#pragma once

#include "geometry/surface.h"

namespace intercusp {

struct LighterForm {
  SurfacePtr surface;  ///< the body itself where nothing lighter keeps within what was asked
  /// Farthest of the body's vertices, and of the middles of the lighter triangles, from the other surface, mm.
  double off_mm = 0;
};

/// Edges are collapsed as long as their quadric errors (Garland and Heckbert 1997; meshoptimizer) stay below `aim_mm`:
/// most of the form is then within that of the body, and a place here or there several times as far off. What is
/// nowhere farther off than `at_most_mm` is taken. Closed bodies stay closed; vertices are some of the body's, numbered
/// anew. The same form from the same mesh. Without colours. O(n log n), about a second a million triangles.
LighterForm lighter_form(const SurfacePtr& body, double aim_mm, double at_most_mm);

}  // namespace intercusp
