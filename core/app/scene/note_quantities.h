#pragma once

#include <array>
#include <set>
#include <string>
#include <vector>

#include "app/scene/plan_edit.h"

namespace intercusp {

/// One quantity of the movement note.
struct NoteQuantity {
  std::string id;        ///< forward, up_incisors, up_molar_right, up_molar_left, midline, pitch, roll, yaw
  double value = 0;      ///< signed, mm or degrees
  std::string unit;      ///< "mm" or "deg"
  std::string positive;  ///< words behind a positive value: "forward", "up at the incisors"
  std::string negative;  ///< words behind a negative value
  bool known = true;     ///< false when its landmark is missing
};

/// What a segment does against the start, as quantities that a sentence is made of, in the order they are said.
std::vector<NoteQuantity> note_quantities(const PointMap& start, const PointMap& now, const Pose& change,
                                          const std::string& segment);

/// "5.0 mm forward"; zero is "0.0 mm forward".
std::string quantity_words(const NoteQuantity& q);
std::string segment_words(const std::string& segment);
/// Whether a segment carries the incisors and both molars that its note speaks of.
bool segment_has_note(const std::string& segment);

/// The movement of the edited entry after one quantity is set. Landmark quantities keep the others of the note; angles
/// keep what is locked. Error when that contradicts itself.
struct NoteEdit {
  PointMap start;  ///< landmarks at the start of the plan
  EditedMovement edited;
  std::string segment;
  std::set<std::string> locked;
};
Result<Movement> movement_with_quantity(const NoteEdit& edit, const std::string& id, double value);

/// The movement `wanted` (one of its six quantities, `changed`, was just set) brought to agree with what is locked.
Result<Movement> movement_within_locks(const NoteEdit& edit, const Movement& wanted, const std::string& changed);

}  // namespace intercusp
