#include "scenes.h"

using namespace intercusp;
using namespace intercusp::bench;

int main(int argc, char** argv) {
  for (int i = 1; i < argc; ++i) {
    const auto n = static_cast<std::uint32_t>(std::atoi(argv[i]));
    for (const Scene& s : {arches(n), bones(n)}) {
      std::size_t near = 0;
      ContactResult r;
      const double ms = timed(5, [&] { r = find_contact(*s.first, s.first_pose, *s.second, s.drag[0], {}); });
      for (const float g : r.gap_first) near += g == g;
      for (const float g : r.gap_second) near += g == g;
      std::printf(
          "%s %u closed %d%d: %.1f ms; in band %zu of %zu, crossings %zu regions %zu deepest %.3f volume %.6f contacts "
          "%zu\n",
          s.name.c_str(), n, s.first->closed(), s.second->closed(), ms, near, r.gap_first.size() + r.gap_second.size(),
          r.crossings.size(), r.regions.size(), r.regions.empty() ? 0 : r.regions[0].deepest_mm,
          r.overlap_volume_mm3.value_or(-1), r.contacts.size());
      const double build = timed(3, [&] { Surface::make(s.first->mesh()); });
      std::printf("   surface %.1f ms, of which hierarchy %.1f\n", build, timed(3, [&] { Bvh b(s.first->mesh()); }));
    }
  }
}
