#pragma once

#include <memory>

#include "app/errands/errand.h"
#include "app/errands/sample_shelf.h"
#include "base/progress.h"
#include "casebook/hand_in_motion.h"

namespace intercusp {

/// Does errands, one at a time; belongs to one thread. Keeps contact queries, sawn
/// pieces, lighter forms and what a hand moves from one errand to the next.
class ErrandBench {
 public:
  /// `shelf` may be shared with other benches, and null: then every sample is made anew.
  explicit ErrandBench(std::shared_ptr<SampleShelf> shelf = nullptr) : shelf_(std::move(shelf)) {}
  /// The answer, or an Error that says what was wrong. What it refers to is kept alive by the answer.
  ErrandAnswer run(Errand& errand, const Progress& progress);

 private:
  KeptQueries queries_;
  PieceCache pieces_;
  LightForms light_;
  std::optional<HandInMotion> hand_;
  std::shared_ptr<SampleShelf> shelf_;
};

/// A body as the screen needs it, with what is derived from its mesh.
ReadySurface ready_surface(Mesh mesh, std::vector<Opened> opened = {});

}  // namespace intercusp
