#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "geometry/types.h"

namespace intercusp {

/// A named point. `16.mesiobuccal_cusp` (ISO 3950 tooth, dot, feature) on a tooth; `ANS`, `Co_right` on the skull;
/// `raphe_anterior`, `raphe_posterior` on the palate.
struct Landmark {
  /// Where its place comes from. `unknown`: an earlier file, or the recipe of a sample.
  enum class Origin { unknown, placed, proposed, file };

  Vec3 at = Vec3::Zero();  ///< mm; in the frame of the set that holds it
  bool confirmed = true;   ///< false while only proposed by the program
  Origin origin = Origin::unknown;
  double confidence = 1;  ///< 0 to 1: how sure who placed or proposed it was
};
bool operator==(const Landmark& a, const Landmark& b);

/// "placed", "proposed", "file"; empty where it is not known.
const char* origin_name(Landmark::Origin origin);
/// The reverse; unknown for every other word.
Landmark::Origin origin_of(const std::string& name);

using LandmarkSet = std::map<std::string, Landmark>;

/// Landmark positions alone, posed and ready to measure.
using PointMap = std::map<std::string, Vec3>;

enum class Jaw { upper, lower, skull };

/// The jaw a landmark moves with: by quadrant for tooth landmarks, `upper` for the raphe, ANS, PNS and A, `lower` for
/// the points of the mandible, `skull` for the rest.
Jaw jaw_of_landmark(const std::string& name);

/// Whether it is read off a scan of an arch: a point of a crown or of the palate, no root tip and no point of bone.
bool lies_on_scan(const std::string& name);

/// Whether the name is a landmark that design and docs know (tooth exists, feature belongs to that kind of tooth).
bool known_landmark(const std::string& name);

/// Every landmark name of one tooth in a fixed order, e.g. for lists and pickers; empty for a tooth that is not
/// permanent ISO 3950.
std::vector<std::string> landmarks_of_tooth(int iso_tooth);

/// Where a landmark lies in words for someone who must place it: "tip of the mesiobuccal (front outer) cusp of the
/// upper right first molar".
std::string landmark_hint(const std::string& name);

/// Reads a landmarks file `{"units":"mm","landmarks":{NAME:[x,y,z],...}}`; units mm, cm, m or inch are scaled to mm.
/// Unknown names, NaN and malformed JSON give an Error that names the key. Each is confirmed, its origin the file.
Result<LandmarkSet> parse_landmarks(const std::string& json_text);

/// Writes the same format, shortest decimals that read back exactly.
std::string write_landmarks(const PointMap& points);

}  // namespace intercusp
