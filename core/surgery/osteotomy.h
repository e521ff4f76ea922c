#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "anatomy/landmarks.h"
#include "base/result.h"
#include "geometry/cut_surface.h"

namespace intercusp {

/// The cuts of jaw surgery. `pieces` parts an upper jaw that a Le Fort I has freed.
enum class CutKind { lefort1, split_right, split_left, chin, pieces };

std::string cut_kind_name(CutKind kind);
std::optional<CutKind> cut_kind_of(const std::string& name);
/// "the Le Fort I cut"
std::string cut_words(CutKind kind);

/// One number that places a cut. Lengths are mm, angles degrees, as the key says.
struct CutSetting {
  std::string key;
  double usual, least, most;
  std::string words;
  std::string source;  ///< of the usual value
};

/// The settings of one kind in a fixed order.
const std::vector<CutSetting>& cut_settings(CutKind kind);

/// A cut as a plan holds it: its kind and every setting of that kind. Where it lies follows from the landmarks.
struct Osteotomy {
  CutKind kind = CutKind::lefort1;
  std::map<std::string, double> settings;

  double setting(const char* key) const { return settings.at(key); }
  double kerf_mm() const { return setting("saw_mm"); }
};

/// A cut with the settings given and the usual values for the rest. Error for a key that this kind does not have and
/// for a value outside its range.
Result<Osteotomy> make_osteotomy(CutKind kind, const std::map<std::string, double>& given);

/// One sawing: what lies on either side of the surface afterwards. An empty name: what is sawn next.
struct PieceCut {
  CutSurface surface;
  std::string positive, negative;
};

/// First point of the bone met from `from` along `direction`, patient frame at rest.
using BoneProbe = std::function<std::optional<Vec3>(const Vec3& from, const Vec3& direction)>;

/// Where a cut lies, from landmarks at rest in the patient frame: one sawing, or two for three pieces.
/// - Le Fort I: on each side a plane that stays `level` above every root apex of that side (2 mm less above the nasal
///   floor, where no apex is known: see read_levels), rising backwards by `slope`, `step` higher behind the buttress;
///   it ends at a wall at the pterygomaxillary junction (2 mm behind PNS, where PMJ is not placed), before the
///   pterygoid plates. Sides with equal settings share one plane; else they meet in a wall on the midline.
/// - Sagittal split: above the lingula a horizontal plane; down from there a plane within the ramus, between the point
///   midway through its thickness and a point below the outer plate beside the molars; in front a wall across the outer
///   plate. What lies above the first, or outside the second and behind the third, stays with the condyle. Probes the
///   bone for the thickness.
/// - Chin: a plane `level` below every lower apex and mental foramen.
/// - Pieces: the midline between the central incisors, and for three a wall on each side distal of the last front
/// tooth. Error naming the landmarks that are missing. O(landmarks).
Result<std::vector<PieceCut>> place_osteotomy(const Osteotomy& cut, const PointMap& points, const BoneProbe& probe);

/// What the level of a cut amounts to with the landmarks at hand.
struct CutLevel {
  std::string side;     ///< "right", "left", or empty where there is one level
  double mm = 0;        ///< above, or for the chin below, what it is counted from
  std::string from;     ///< "above the highest root tip on the right", "above the nasal floor"
  std::string lacking;  ///< sentence without its full stop: what is not known, and what that means; mostly empty
};

/// What every level of a cut lacks, each once.
std::vector<std::string> lacking_of(const std::vector<CutLevel>& levels);

/// The levels of a cut as place_osteotomy takes them, in words that hold also where the landmark that a level is meant
/// from is not known. Empty for pieces. Points at rest, patient frame. O(landmarks).
std::vector<CutLevel> read_levels(const Osteotomy& cut, const PointMap& points);

}  // namespace intercusp
