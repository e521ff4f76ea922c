#include "surgery/divide_triangle.h"

namespace intercusp {

void divide_triangle(const Triangle& t, const std::array<std::uint32_t, 3>& middle, std::vector<Triangle>& out) {
  const int count = (middle[0] != 0) + (middle[1] != 0) + (middle[2] != 0);
  if (count == 0) {
    out.push_back(t);
    return;
  }
  if (count == 3) {
    for (std::size_t k = 0; k < 3; ++k) out.push_back({t[k], middle[k], middle[(k + 2) % 3]});
    out.push_back({middle[0], middle[1], middle[2]});
    return;
  }
  // Turned so that edge 0 is the divided one, or edge 2 the whole one.
  std::size_t r = 0;
  while (count == 1 ? middle[r] == 0 : middle[(r + 2) % 3] != 0) ++r;
  const std::uint32_t a = t[r], b = t[(r + 1) % 3], c = t[(r + 2) % 3], m = middle[r], n = middle[(r + 1) % 3];
  out.push_back({m, b, count == 1 ? c : n});
  if (count == 1) {
    out.push_back({a, m, c});
    return;
  }
  out.push_back({a, m, n});
  out.push_back({a, n, c});
}

}  // namespace intercusp
