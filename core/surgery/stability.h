// How a move of this kind and size is reported to hold, and whether it lies within the usual range. Words of the
// literature, never orders.
#pragma once

#include <string>
#include <vector>

namespace intercusp {

/// What a plan does, summed up, mm in clinical directions from rest. Zero where a segment does not move.
struct PlanExtent {
  double maxilla_forward_mm = 0, maxilla_up_mm = 0;  ///< at the incisal midpoint; up: mean of that and the molars
  double maxilla_wider_mm = 0;                       ///< between the first molars
  double mandible_forward_mm = 0;                    ///< of the tooth-bearing part, at the lower incisal midpoint
  double chin_forward_mm = 0, chin_up_mm = 0;        ///< against the mandible
  double turned_deg = 0;                             ///< largest yaw or roll of a segment
  double sideways_mm = 0;                            ///< larger shift of the two dental midlines to either side
};

struct StabilityNote {
  std::string move;   ///< "upper jaw 5.0 mm forward"
  std::string rank;   ///< "very stable", "stable", "stable only with rigid fixation", "problematic"
  std::string words;  ///< what is reported
  std::string source;
  bool beyond_usual = false;
  std::string usual;  ///< "usual up to 10 mm (textbooks, common practice)"; empty where none is known
};

/// One note for each move of at least a millimetre or degree, in the order upper jaw, lower jaw, chin, asymmetry, both
/// jaws together. O(1).
std::vector<StabilityNote> stability_notes(const PlanExtent& extent);

}  // namespace intercusp
