#include "geometry/cut_check.h"

#include <algorithm>

#include "geometry/self_crossings.h"

namespace intercusp {
namespace {

struct BoxedTriangle {
  Eigen::AlignedBox3f box;
  std::uint32_t triangle;
};

}  // namespace

bool new_triangles_cross(const Mesh& mesh, std::uint32_t first_new) {
  std::vector<BoxedTriangle> list;
  Eigen::AlignedBox3f all;
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    const Triangle& k = mesh.triangles[t];
    if (std::max({k[0], k[1], k[2]}) < first_new) continue;
    BoxedTriangle boxed{{}, t};
    for (const std::uint32_t v : k) boxed.box.extend(mesh.positions[v]);
    all.extend(boxed.box);
    list.push_back(boxed);
  }
  if (list.empty()) return false;
  int axis = 0;
  all.sizes().maxCoeff(&axis);
  std::sort(list.begin(), list.end(), [axis](const BoxedTriangle& a, const BoxedTriangle& b) {
    const float p = a.box.min()[axis], q = b.box.min()[axis];
    return p < q || (p == q && a.triangle < b.triangle);
  });
  std::vector<std::size_t> open;  // may still overlap what comes
  for (std::size_t i = 0; i < list.size(); ++i) {
    const float from = list[i].box.min()[axis];
    open.erase(std::remove_if(open.begin(), open.end(), [&](std::size_t k) { return list[k].box.max()[axis] < from; }),
               open.end());
    for (const std::size_t k : open) {
      if (list[k].box.intersects(list[i].box) && triangles_cross(mesh, list[k].triangle, list[i].triangle)) return true;
    }
    open.push_back(i);
  }
  return false;
}

}  // namespace intercusp
