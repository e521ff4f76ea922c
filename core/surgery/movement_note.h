// A segment's movement as a surgeon would dictate it: written from a pose, read back into targets.
#pragma once

#include <string>
#include <vector>

#include "surgery/movement.h"

namespace intercusp {

/// The three points that a note speaks of, under the names "incisors" (midpoint of the two central incisal edges),
/// "molar_right" and "molar_left" (mesiobuccal cusp tips of the first molars, else of the second, on both sides). A
/// pair of molars that is not placed is left out; without the central incisors the map is empty. `jaw` is upper or
/// lower.
PointMap note_points(const PointMap& points, Jaw jaw);

/// "Upper jaw: 5.0 mm forward, 2.0 mm up at the incisors, 3.0 mm up at the right molar, midline 1.5 mm to the patient's
/// right." What rounds to zero is not said. Heights are said at the incisors and at each molar (once where they are all
/// equal), forward and sideways at the incisors, and yaw as a turn; where the molars are not placed, pitch and
/// roll take the place of their heights. `before` is what note_points gave; without incisors the text is empty.
std::string write_movement_note(const std::string& segment_word, const PointMap& before, const Pose& change);

/// What a note asks for: give `targets` and `fixed` to solve_movement with the note's points.
struct MovementNote {
  std::string segment_word;  ///< what stands before the colon, may be empty
  std::vector<MovementTarget> targets;
  FixedQuantities fixed;
};

/// Reads what write_movement_note writes, and near variants ("and", "deg", a decimal comma). What the note does not say
/// is zero: the same sentence comes out when the solved movement is written again. The Error quotes the phrase that is
/// not understood.
Result<MovementNote> parse_movement_note(const std::string& text, const PointMap& before);

/// Short words for a list of steps: "3.0 mm forward, 1.5 mm up, pitch 2.0 degrees front up"; "no movement" when all
/// rounds to zero.
std::string movement_words(const Movement& movement);

}  // namespace intercusp
