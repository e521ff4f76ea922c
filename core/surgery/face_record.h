// What the face says and the bone does not, and what a movement of the upper jaw makes of it.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "geometry/types.h"

namespace intercusp {

/// One number that is read off the face, mm, degrees or years as its key says.
struct FaceItem {
  std::string key;
  double least, most;
  std::string words;
};

/// In the order of a form.
const std::vector<FaceItem>& face_items();

/// What was read off a face, upright, head held naturally. What was not looked at is not there.
struct FaceRecord {
  std::map<std::string, double> numbers;  ///< by the keys of face_items()
  std::string sex;                        ///< "woman", "man" or empty

  bool empty() const { return numbers.empty() && sex.empty(); }
  std::optional<double> number(const char* key) const;
};
bool operator==(const FaceRecord& a, const FaceRecord& b);

/// Puts one number in, or takes it out where there is none. Error for a key that is none and a value out of its range.
Status set_face_number(FaceRecord& record, const std::string& key, std::optional<double> value);
/// Error for other words than woman, man or nothing.
Status set_face_sex(FaceRecord& record, const std::string& sex);

/// What a plan does with the upper teeth, patient frame at rest.
struct FaceMove {
  Vec3 incisor_shift = Vec3::Zero();  ///< of the middle between the upper central incisal edges, mm
  /// A point on either side of the upper arch before and after, mm: first molars, else canines.
  struct Sides {
    Vec3 right_before, left_before, right_after, left_after;
  };
  std::optional<Sides> sides;
};

/// One line of the face.
struct FaceRow {
  std::string id;     ///< key of face_items(), or "upper_lip_forward_mm"
  std::string words;  ///< "upper incisor show at rest"
  std::optional<double> recorded;
  /// As the plan would leave it: both the same where soft tissue has no part in it.
  std::optional<double> planned_least, planned_most;
  std::string usual;   ///< with its source; empty where none is known
  std::string ratio;   ///< of soft tissue to bone that was used, with its source; empty where none was
  std::string remark;  ///< what is not known, or what people notice
};

/// "3.4 mm", "1.0 mm left", "2.0 deg left side lower", "34 years": of an item or a row by its id.
std::string face_words(const std::string& id, double value);
/// What a row becomes, with its range where soft tissue has a part in it: "1.4 to 1.8 mm"; empty where it is not known.
std::string planned_words(const FaceRow& row);

/// What is recorded, and where `move` is given what becomes of it. Shift and cant are read in natural head position
/// where that is recorded. Vertical: the lip shortens by 0.2 to 0.4 of an impaction; after a move down it is taken as
/// it is. O(1).
std::vector<FaceRow> face_rows(const FaceRecord& record, const std::optional<FaceMove>& move);

}  // namespace intercusp
