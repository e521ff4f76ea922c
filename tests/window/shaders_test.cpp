// Every form of every shader is one that a driver takes: in use a form is built only when something asks for it.
#include <doctest/doctest.h>

#include "app/render/renderer.h"
#include "stage.h"

namespace intercusp {

TEST_CASE("shaders: the driver takes every form") {
  const window::Stage stage({320, 240});
  Renderer renderer;
  renderer.create();
  renderer.build_all();
  CHECK(renderer.take_trouble() == "");
  renderer.destroy();
}

}  // namespace intercusp
