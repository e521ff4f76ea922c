// Finds where the arches seat best against each other.
#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "base/progress.h"
#include "base/result.h"
#include "geometry/contact.h"
#include "occlusion/measure.h"

namespace intercusp {

/// How far the pieces of an upper jaw may go from the arch that they were: they are still one palate, one gum and one
/// row of teeth. Common practice, no source, but for the widening at the molars (up to about 8 mm, textbooks). mm.
struct PieceLimits {
  std::array<double, 2> canine_expansion_mm{-3, 5};  ///< of the distance between 13 and 23; negative: narrower
  std::array<double, 2> molar_expansion_mm{-5, 8};   ///< between 16 and 26
  double space_mm = 3;                               ///< opened between the two teeth beside a cut
  double step_mm = 3;                                ///< between them, across the row
  double turn_deg = 8;                               ///< of a piece against the arch as a whole
};

/// What the bite that is looked for should be. Lengths mm, signs and definitions as in docs/methods.md.
struct SettleSettings {
  int molar_quarters = 0;  ///< intended molar relation on both sides: 0 Class I, 4 a full unit Class II, -4 Class III
  int canine_quarters = 0;
  std::array<double, 2> overjet_mm{0.5, 4}, overbite_mm{0.5, 4};  ///< limits
  /// Measure id -> value that must be met: overjet, overbite, midline_upper_lower, molar_*, canine_*.
  std::map<std::string, double> pinned;
  std::size_t most_solutions = 4;
  ContactSettings contact;
  PieceLimits pieces;  ///< where the upper jaw is in pieces
};

/// What speaks against a solution: each part 0 at best, lower is better; a millimetre off where the bite should be
/// counts about 1, off the relation that was asked for 3.
struct SettleCost {
  double seat = 0;     ///< 10 for no tooth surface seated, 0 for the best of all solutions
  double overlap = 0;  ///< overlap beyond 0.1 mm, ten a millimetre
  double sides = 0;    ///< 3 for each side without contact
  double relation =
      0;  ///< three times the mean distance of molars and canines from where they should be, beyond an eighth of a unit
  double midline = 0;
  double overjet = 0, overbite = 0;  ///< beyond their limits
  double pinned = 0;                 ///< what the pinned values are missed by
  double expansion = 0;              ///< beyond the limits of pieces, at canines and molars
  double steps = 0;                  ///< spaces and steps at cuts, beyond their limits; half of turns in degrees
  double neighbours = 0;             ///< overlap of the teeth beside a cut beyond 0.1 mm, ten a millimetre
  double apart = 0;                  ///< half the mean distance of the teeth from where the arch in one piece has them
  double total() const {
    return seat + overlap + sides + relation + midline + overjet + overbite + pinned + expansion + steps + neighbours +
           apart;
  }
};

/// Where one piece of the upper jaw goes.
struct SeatedPiece {
  std::string name;                ///< its segment
  Pose motion = Pose::Identity();  ///< from where it stands, patient frame
  double seated_share = 0;         ///< as of the whole
  int contacts = 0;
};

/// What becomes of the row of teeth at a cut, against the arch in one piece.
struct SeatedCut {
  std::array<int, 2> teeth{0, 0};  ///< beside it
  double space_mm = 0;             ///< opened between them; negative: they overlap by so much
  double step_mm = 0;              ///< across the row
};

struct SettleSolution {
  Pose motion = Pose::Identity();         ///< of the moving arch from where it stands, patient frame
  std::map<std::string, double> reading;  ///< measure id -> value there, as far as measurable
  std::map<std::string, int> quarters;    ///< of the molar and canine relations
  std::array<int, 2> contacts{0, 0};      ///< right, left
  std::array<double, 2> area_mm2{0, 0};   ///< of contact; right, left
  double deepest_mm = 0;                  ///< deepest overlap, 0 for none
  double seated_share = 0;                ///< share of the chewing surface that lies within 0.1 mm of the other arch's
  SettleCost cost;
  /// Of an upper jaw in pieces, else empty. `motion` is then that of the arch as a whole: the rigid motion nearest to
  /// those of its pieces.
  std::vector<SeatedPiece> pieces;
  std::vector<SeatedCut> cuts;
  std::optional<double> canine_expansion_mm, molar_expansion_mm;  ///< against the arch in one piece
};

/// The positions in which the arches seat, best first; those nearer to each other than 0.5 mm are one. From the
/// landmarks (cusps into their fossae and embrasures, shifted by quarter units along either side) and from where the
/// arch stands; each is settled on samples of both chewing surfaces, robust against what does not touch, then ranked.
/// Whether the lower or the upper arch moves changes nothing about the bite. Deterministic. Error: a scan or landmark
/// is missing, an unknown pin, nothing seats, cancelled. About half a second for arches of 200,000 triangles.
Result<std::vector<SettleSolution>> settle(const MeasureInput& input, Jaw moving, const SettleSettings& settings,
                                           const Progress& progress = Progress());

}  // namespace intercusp
