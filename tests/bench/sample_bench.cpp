// How long a sample takes from its recipe, first in a fresh program (as when the page opens) and then warm:
//   cmake --build build/web --target sample_bench && node build/web/tests/sample_bench.js class1 40000
#include <cstdio>
#include <cstdlib>
#include <optional>

#include "casebook/recipe_link.h"
#include "scenes.h"

using namespace intercusp;
using namespace intercusp::bench;

int main(int count, char** arguments) {
  if (count != 3) {
    std::printf("usage: sample_bench NAME TRIANGLES\n");
    return 2;
  }
  const auto triangles = static_cast<std::uint32_t>(std::atoi(arguments[2]));
  for (int run = 0; run < 4; ++run) {
    const double began = wall_ms();
    const auto made = case_from_sample(arguments[1], std::nullopt, triangles, false);
    if (!made.ok()) {
      std::printf("%s\n", made.error().sentence().c_str());
      return 1;
    }
    std::printf("%-5s %8.1f ms\n", run == 0 ? "first" : "warm", wall_ms() - began);
  }
  return 0;
}
