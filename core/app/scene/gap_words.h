#pragma once

#include <optional>
#include <string>

#include "app/scene/contact_watch.h"
#include "app/scene/readings.h"

namespace intercusp {

/// The distance to the other jaw at a place of a body.
struct GapHere {
  double gap_mm = 0;         ///< negative inside the other body
  int upper = 0, lower = 0;  ///< teeth that face each other here, 0 where none is near
};

/// `at_scan` lies on `triangle` of the body, in its own space; `at_patient` is the same place where it stands. Empty
/// where the other jaw is beyond the band. The gap is that of the triangle's corners, weighted by nearness to them.
/// O(1) and a look through the landmarks.
std::optional<GapHere> gap_here(const Case& c, const ContactWatch& contacts, const PointMap& points,
                                const std::string& body, std::uint32_t triangle, const Vec3& at_scan,
                                const Vec3& at_patient);

/// "0.34 mm overlap, 16 on 46", "0.20 mm gap, 16 to 46", "touching, 16 on 46".
std::string gap_words(const GapHere& gap);

}  // namespace intercusp
