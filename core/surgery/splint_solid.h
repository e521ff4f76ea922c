// The solid of a splint: the slab without the room of both arches, as a triangle mesh.
#pragma once

#include <memory>

#include "anatomy/isosurface.h"
#include "base/progress.h"
#include "base/result.h"
#include "surgery/seat_field.h"
#include "surgery/splint_settings.h"

namespace intercusp {

class SplintText;

/// What a vertex of a splint lies on.
enum class SplintPart : std::uint8_t { outside, upper_imprint, lower_imprint };

struct Ball {
  Vec3 middle;
  double radius_mm;
};

/// Everything is in the splint's own frame, z away from the lower arch.
struct SplintParts {
  const ScalarField* form = nullptr;  ///< the splint without imprints, a SplintSlab
  Box box;                            ///< that holds it
  const SplintText* text = nullptr;   ///< raised on it; may be null
  const SeatField *upper = nullptr, *lower = nullptr;
  const ScalarField* bored = nullptr;  ///< holes and relief, taken out; may be null
  std::vector<Ball> rooms;             ///< that are left open
};

/// Negative inside the splint.
class SplintField : public ScalarField {
 public:
  SplintField(const SplintParts& parts, const SplintSettings& settings)
      : parts_(parts), clearance_(settings.clearance_mm), open_below_(settings.open_below_mm), rooms_(parts.rooms) {}
  double value(const Vec3& p) const override;
  /// Without the imprints.
  double body(const Vec3& p) const;
  /// How much less than a film that is left standing would lie between the arches here.
  double film(const Vec3& p) const;
  /// Takes balls around these places out, those near another left out.
  void give_room(const std::vector<Vec3>& places, double radius_mm);
  const std::vector<Ball>& rooms() const { return rooms_; }

 private:
  SplintParts parts_;
  double clearance_, open_below_;
  std::vector<Ball> rooms_;
};

struct SplintSolid {
  Mesh mesh;
  std::vector<SplintPart> part;  ///< one a vertex
  std::vector<Ball> rooms;       ///< what was left open, also where a scan is at fault
};

/// Closed, outward, free of self-crossings (checked, and mended where the projection onto the exact imprints folded
/// something), of one part. Imprint vertices lie on the offset of the swept arch by its triangles; edges of the
/// imprints are divided until they follow it within the tolerance, at most twice. Error when nothing is left, when the
/// splint falls apart (says how much), or when it could not be made sound. A splint that is not to be printed is left
/// as it comes from the grid, its vertices on the imprints: closed, but it may cross itself.
Result<SplintSolid> make_solid(const SplintParts& parts, const SplintSettings& settings, const Progress& progress);

}  // namespace intercusp
