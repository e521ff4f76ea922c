#include "surgery/coarse_arch.h"

#include <utility>

#include "geometry/shared_cells.h"

namespace intercusp {

Mesh coarse_arch(const Mesh& mesh, double cell_mm) {
  SharedCells cells = share_cells(mesh, cell_mm);
  Mesh out;
  out.positions = std::move(cells.middle);
  for (const Triangle& t : mesh.triangles) {
    const Triangle merged{cells.number[t[0]], cells.number[t[1]], cells.number[t[2]]};
    if (merged[0] != merged[1] && merged[1] != merged[2] && merged[2] != merged[0]) out.triangles.push_back(merged);
  }
  return out;
}

}  // namespace intercusp
