// How long splints take: the final one as it is printed and the quick look, for samples of about as many triangles an
// arch as asked. Needs nothing but the program itself:
//   cmake --build build/native --target splint_bench && build/native/tests/splint_bench 20000 200000
// For each a line: wall and processor time, s, of the median of the runs; triangles and peak memory, MB. Run on one
// thread as well with --one (the page has one), without the final ones with --look.
#include <sys/resource.h>

#include <cstring>

#include "base/parallel.h"
#include "casebook/cut_case.h"
#include "casebook/digest.h"
#include "casebook/recipe_link.h"
#include "casebook/splint_case.h"
#include "scenes.h"

using namespace intercusp;
using namespace intercusp::bench;

namespace {

struct Timed {
  double wall_s = 0, processor_s = 0;
  std::size_t triangles = 0;
};

Case planned_case(std::uint32_t triangles) {
  Case c = case_from_sample("class3", std::nullopt, triangles, false).value();
  Movement m;
  m.forward_mm = 4;
  m.up_mm = 1;
  c.plans.push_back({"A", {{"upper", m, ""}}, "upper"});
  return c;
}

/// Median of the runs; stops the program where a splint cannot be made.
Timed time_splint(const Case& c, const SplintOrder& order, int runs) {
  std::vector<double> wall, processor;
  Timed out;
  for (int i = 0; i < runs; ++i) {
    const double w = wall_ms(), p = processor_ms();
    const auto made = splint_of_case(c, c.plans[0], "bench", order);
    wall.push_back((wall_ms() - w) / 1e3);
    processor.push_back((processor_ms() - p) / 1e3);
    if (!made.ok()) {
      std::printf("%s\n", made.error().sentence().c_str());
      std::exit(1);
    }
    out.triangles = made.value().splint.mesh.triangles.size();
  }
  out.wall_s = median(wall);
  out.processor_s = median(processor);
  return out;
}

double peak_mb() {
  rusage used{};
  getrusage(RUSAGE_SELF, &used);
  return static_cast<double>(used.ru_maxrss) / 1024;
}

void print_line(const char* what, std::uint32_t arch, const Timed& t) {
  std::printf("%8u %-12s %7.2f s wall %7.2f s processor %8zu triangles %6.0f MB peak\n", arch, what, t.wall_s,
              t.processor_s, t.triangles, peak_mb());
  std::fflush(stdout);
}

}  // namespace

int main(int count, char** arguments) {
  bool look_only = false;
  for (int i = 1; i < count; ++i) {
    if (std::strcmp(arguments[i], "--one") == 0) {
      use_one_thread(true);
      continue;
    }
    if (std::strcmp(arguments[i], "--look") == 0) {
      look_only = true;
      continue;
    }
    const auto triangles = static_cast<std::uint32_t>(std::atoi(arguments[i]));
    const Case c = planned_case(triangles);
    SplintOrder order;
    order.open_for_thickness = true;
    print_line("quick look", triangles, time_splint(c, quick_look(order), 9));
    if (!look_only) print_line("final", triangles, time_splint(c, order, 1));
  }
  return 0;
}
