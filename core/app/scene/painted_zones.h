#pragma once

#include <vector>

#include "casebook/case.h"

namespace intercusp {

/// A zone as it lies on its body now.
struct PaintedZone {
  SurfacePtr surface;
  Zone zone;
  std::vector<std::uint8_t> painted;  ///< one a vertex: 1 painted, 0 not
  double area_mm2 = 0;
  std::uint64_t version = 0;  ///< another one whenever that changed
};

/// The zones of a case on its whole bodies (a piece that a plan has cut is a body of its own), kept from one state of
/// the case to the next.
class PaintedZones {
 public:
  /// Cheap while the zones stay as they are; O(vertices) for each dab that was added since, for all of them where the
  /// zone is another one.
  void refresh(const Case& c, std::uint64_t revision);
  const std::vector<PaintedZone>& all() const { return all_; }

 private:
  std::uint64_t revision_ = ~0ull, versions_ = 0;
  std::vector<PaintedZone> all_;
};

}  // namespace intercusp
