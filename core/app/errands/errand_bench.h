#pragma once

#include "app/errands/errand.h"
#include "base/progress.h"

namespace intercusp {

/// Does errands, one at a time; belongs to one thread. Keeps contact queries and sawn
/// pieces from one errand to the next.
class ErrandBench {
 public:
  /// The answer, or an Error that says what was wrong. What it refers to is kept alive by the answer.
  ErrandAnswer run(Errand& errand, const Progress& progress);

 private:
  KeptQueries queries_;
  PieceCache pieces_;
};

/// A body as the screen needs it, with what is derived from its mesh.
ReadySurface ready_surface(Mesh mesh, std::vector<Opened> opened = {});

}  // namespace intercusp
