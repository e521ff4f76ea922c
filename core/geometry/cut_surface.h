#pragma once

#include <vector>

#include "base/packing.h"
#include "geometry/types.h"

namespace intercusp {

/// The surface along which a body is cut: where a function of the place is zero that is put together from signed
/// distances to planes by "the smaller of" and "the greater of". So a step is two planes and the wall between them, and
/// the legs of a sagittal split are three planes, none of them ending before the others take over.
///
/// Why this and no drawn sheet: whatever the planes are, such a function parts all of space in two, has no border that
/// could end within the bone, and rises by one millimetre a millimetre beside every facet. The two sides of a saw cut
/// are then the levels plus and minus half its thickness, parallel to every facet and mitred at every fold.
class CutSurface {
 public:
  /// A plane; its normal (any length but zero) points to the side where the value is positive.
  static CutSurface plane(const Vec3& through, const Vec3& normal);
  /// Positive where both are.
  static CutSurface both(const CutSurface& a, const CutSurface& b) { return joined(a, b, kSmaller); }
  /// Positive where one of them is.
  static CutSurface either(const CutSurface& a, const CutSurface& b) { return joined(a, b, kGreater); }
  /// `near` where the wall is negative, `far` where it is positive, joined by the wall where they differ. The wall is a
  /// plane.
  static CutSurface stepped(const CutSurface& wall, const CutSurface& near, const CutSurface& far);
  /// The same surface with its sides exchanged.
  CutSurface turned() const;
  /// The same surface where a rigid motion takes it.
  CutSurface moved(const Pose& pose) const;

  /// Signed value at a point, mm: zero on the surface, its size never more than the distance from it and equal to it
  /// beside a facet. O(planes).
  double value(const Vec3& p) const;
  /// The plane that gives the value there.
  int plane_at(const Vec3& p) const;

  struct Facet {
    Vec3 normal = Vec3::UnitZ();  ///< unit
    double offset = 0;            ///< normal.dot(p) - offset is the distance

    double value(const Vec3& p) const { return normal.dot(p) - offset; }
    template <class A>
    friend void exchange(A& archive, Facet& f) {
      exchange_all(archive, f.normal, f.offset);
    }
  };
  const std::vector<Facet>& facets() const { return facets_; }

  /// All of it, for another instance of this build (base/packing.h).
  template <class A>
  friend void exchange(A& archive, CutSurface& surface) {
    exchange_all(archive, surface.facets_, surface.program_);
  }

 private:
  static constexpr int kSmaller = -1, kGreater = -2;
  static CutSurface joined(const CutSurface& a, const CutSurface& b, int how);
  std::pair<double, int> evaluate(const Vec3& p) const;

  std::vector<Facet> facets_;
  std::vector<int> program_;  ///< postfix: an index into facets_, or how to join the last two
};

}  // namespace intercusp
