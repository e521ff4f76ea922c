// The coarse forms of a shared case's bodies on the screen, while the whole is still on its way. Nothing is measured or
// moved on them: they are no case.
#pragma once

#include <string>
#include <vector>

#include "app/render/renderer.h"
#include "casebook/case.h"

namespace intercusp {

struct FirstPicture {
  std::vector<DrawnBody> bodies;  ///< empty: there is none
  Camera camera;
  bool turned = false;  ///< by hand: the whole case is then shown from there
  bool shown = false;   ///< it has been on the screen
};

/// The picture of a case whose bodies are the coarse ones, as it stands at the start, from the front.
FirstPicture first_picture_of(const Case& coarse);

}  // namespace intercusp
