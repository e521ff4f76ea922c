// Finds where the arches seat best against each other.
#pragma once

#include <array>
#include <map>
#include <string>
#include <vector>

#include "base/progress.h"
#include "base/result.h"
#include "geometry/contact.h"
#include "occlusion/measure.h"

namespace intercusp {

/// What the bite that is looked for should be. Lengths mm, signs and definitions as in docs/methods.md.
struct SettleSettings {
  int molar_quarters = 0;  ///< intended molar relation on both sides: 0 Class I, 4 a full unit Class II, -4 Class III
  int canine_quarters = 0;
  std::array<double, 2> overjet_mm{0.5, 4}, overbite_mm{0.5, 4};  ///< limits
  /// Measure id -> value that must be met: overjet, overbite, midline_upper_lower, molar_*, canine_*.
  std::map<std::string, double> pinned;
  std::size_t most_solutions = 4;
  ContactSettings contact;
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
  double total() const { return seat + overlap + sides + relation + midline + overjet + overbite + pinned; }
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
};

/// The positions in which the arches seat, best first; those nearer to each other than 0.5 mm are one. From the
/// landmarks (cusps into their fossae and embrasures, shifted by quarter units along either side) and from where the
/// arch stands; each is settled on samples of both chewing surfaces, robust against what does not touch, then ranked.
/// Whether the lower or the upper arch moves changes nothing about the bite. Deterministic. Error: a scan or landmark
/// is missing, an unknown pin, nothing seats, cancelled. About half a second for arches of 200,000 triangles.
Result<std::vector<SettleSolution>> settle(const MeasureInput& input, Jaw moving, const SettleSettings& settings,
                                           const Progress& progress = Progress());

}  // namespace intercusp
