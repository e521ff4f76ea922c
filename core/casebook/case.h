#pragma once

#include <map>
#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "anatomy/landmarks.h"
#include "base/result.h"
#include "casebook/zone.h"
#include "geometry/contact.h"
#include "geometry/surface.h"
#include "motion/hinge.h"
#include "occlusion/measure.h"
#include "surgery/face_record.h"
#include "surgery/movement.h"
#include "surgery/osteotomy.h"

namespace intercusp {

/// A surface of the case, named by what it is: upper_arch, lower_arch, upper_bone, lower_bone, cranium, or a user's
/// name. The mesh is kept as it came, in scan space (mm); it never changes when a segment moves.
struct Body {
  std::string name;
  SurfacePtr surface;
  std::string mesh_sha256;   ///< of the stored vertices and triangles; what a plan's digest rests on
  std::string segment = {};  ///< of a piece that a plan has cut (see with_cuts); empty: the name tells
};

/// A body with its digest computed. O(n).
Body make_body(std::string name, SurfacePtr surface);

/// A turn of the whole lower jaw about the hinge axis, from where it stands.
struct Closing {
  double open_deg = 0;            ///< positive opens, negative closes
  std::string axis = "condyles";  ///< or "arbitrary" (see core/motion/hinge.h)
  std::string until = "contact";  ///< what the angle was sought for: contact, vertical or splint
  double until_mm = 0;            ///< the vertical or the thickness of the splint
};

/// One entry of a plan: a movement of a segment, a cut, or a closing. `about` names the pivot landmark of a movement;
/// empty = midpoint of that arch's central incisal edges (for a ramus: its condyle's centre). Entries that are no
/// movements name no segment.
struct PlanEntry {
  enum class Kind { movement, cut, closing };
  std::string segment;  ///< see docs/case-file.md
  Movement movement;
  std::string about;
  Kind kind = Kind::movement;
  Osteotomy cut = {};
  Closing closing = {};
};
PlanEntry cut_entry(Osteotomy cut);
PlanEntry closing_entry(Closing closing);

/// Whether two entries do the same: only what belongs to their kind counts.
bool operator==(const PlanEntry& a, const PlanEntry& b);

struct Plan {
  std::string name;
  std::vector<PlanEntry> entries;
  std::string first_jaw = "upper";  ///< staging: the jaw that moves first, giving the intermediate position
};

/// Whether two plans do the same, whatever they are called.
bool same_steps(const Plan& a, const Plan& b);

/// The jaws that a plan moves: movements count for their jaw, closings for the lower one, cuts alone for none. Only
/// where both move is there an intermediate position.
struct JawsMoved {
  bool upper = false, lower = false;
  bool both() const { return upper && lower; }
};
JawsMoved jaws_moved(const Plan& plan);

enum class Moment { rest, intermediate, planned };

/// A case: what is known about one patient's jaws, in a form that is small to copy (surfaces are shared).
struct Case {
  std::string id;                 ///< free text without personal data
  std::string recipe;             ///< JSON text of the sample recipe that all bodies come from; empty for scans
  bool landmarks_edited = false;  ///< landmarks differ from what the recipe gives
  std::vector<Body> bodies;
  LandmarkSet landmarks;  ///< in scan space
  Pose patient_from_scans = Pose::Identity();
  bool frame_known = false;  ///< patient_from_scans was set from the occlusal frame (or by hand)
  std::vector<Plan> plans;
  FaceRecord face;          ///< what was read off the face; no plan rests on it
  std::vector<Zone> zones;  ///< painted on bodies, one each; no plan rests on them
  MeasureSettings measure_settings;
  ContactSettings contact_settings;
  /// Segments of landmarks that went with a cut piece; empty unless made by with_cuts, and never stored.
  std::map<std::string, std::string> cut_landmarks;
  /// Where with_cuts laid each cut, patient frame at rest; likewise. Where bone is gone a cut cannot be laid again.
  std::map<CutKind, std::vector<PieceCut>> cut_sawings;
  bool has_root_tips = false;  ///< made by with_root_tips, and never stored
  std::string kept_json;       ///< fields of the file that this version does not know; written back unchanged

  const Body* find_body(const std::string& name) const;
  const Plan* find_plan(const std::string& name) const;
  Plan* find_plan(const std::string& name);
};

/// The segment that a body moves with: "upper", "lower" or "cranium"; in a case that with_cuts made, also "maxilla" and
/// its pieces, "mandible", "ramus_right", "ramus_left", "chin". While the upper jaw is still one piece with the skull
/// (bone present and uncut) its bodies belong to "cranium".
std::string segment_of_body(const Case& c, const Body& body);
/// Likewise for a landmark.
std::string segment_of_landmark(const Case& c, const std::string& name);

/// A body's name for a sentence: "upper arch".
std::string body_words(std::string name);
/// Whether a body holds teeth: an arch, single teeth or roots, by its name; every other body is bone.
bool is_dental(const std::string& name);
/// Whether a body holds roots, alone or with their crowns.
bool holds_roots(const std::string& name);
/// Whether a body is bone of that jaw (neither arch nor teeth), by its name.
bool is_upper_bone(const std::string& name);
bool is_lower_bone(const std::string& name);
/// The jaw that a body or a segment belongs to by its name.
bool is_upper_name(const std::string& name);
bool is_lower_name(const std::string& name);

/// The segments that a movement of `segment` takes along, itself included: `maxilla` (and `upper`) all pieces of the
/// upper jaw, `lower` all of the lower, `mandible` the chin.
std::vector<std::string> moved_with(const std::string& segment);

/// Whether the upper jaw is still joined to the skull by bone.
bool upper_jaw_uncut(const Case& c);

/// Segments that can move in this case, in display order.
std::vector<std::string> movable_segments(const Case& c);

/// Whether a segment may move; the Error says what to do first (for example "cut first").
Status can_move(const Case& c, const std::string& segment);

/// If the frame is not known yet and the landmarks allow it, sets patient_from_scans from the occlusal frame. Returns
/// whether the frame is known afterwards. Never changes a frame that a plan already rests on.
bool settle_frame(Case& c);

/// Pose of each segment (patient frame, identity at rest). Computed from the plan's entries, never stored. At the
/// intermediate moment the movements of the first jaw count, and of the closings those before any movement of the lower
/// jaw (all of them when the lower jaw moves first). Error when an entry needs a landmark that is missing.
using SegmentPoses = std::map<std::string, Pose>;
Result<SegmentPoses> segment_poses(const Case& c, const Plan* plan, Moment at);

/// Where a segment stands; identity where the poses do not name it.
Pose pose_of_segment(const SegmentPoses& poses, const std::string& segment);

/// patient <- scan for one body under the given segment poses.
Pose pose_of_body(const Case& c, const Body& body, const SegmentPoses& poses);

/// Landmarks where they stand, patient frame.
PointMap points_at(const Case& c, const SegmentPoses& poses);

/// Landmark points of one segment where it stands, and the pivot of a movement of it.
Result<Vec3> pivot_point(const Case& c, const std::string& segment, const std::string& about,
                         const SegmentPoses& poses);

/// Everything the measure table needs for this moment.
MeasureInput measure_input(const Case& c, const SegmentPoses& poses);

}  // namespace intercusp
