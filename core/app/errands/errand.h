// Work that takes longer than a frame, and its answers. Errands are done beside the screen: on a thread natively, in a
// worker on the web, so that the rest stays usable.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "anatomy/arch_fit.h"
#include "app/render/surface_look.h"
#include "casebook/closing.h"
#include "casebook/cut_case.h"
#include "casebook/plate_sites.h"
#include "casebook/reports.h"
#include "casebook/settle_plan.h"
#include "casebook/splint_case.h"
#include "casebook/tooth_path.h"
#include "formats/units.h"
#include "practice/question.h"

namespace intercusp {

/// A file told apart by content: a case, a scan, landmarks or the results of a class. Its bytes are here, or the host
/// has them under a number and hands them to whoever does the errand, so that they are not held twice.
struct ReadFile {
  std::string name;
  std::vector<std::uint8_t> bytes;
  std::uint64_t held_by_host = 0;
  const std::uint8_t* placed = nullptr;  ///< where the host placed them for this errand, instead of in `bytes`
  std::size_t placed_size = 0;

  const std::uint8_t* data() const { return placed ? placed : bytes.data(); }
  std::size_t size() const { return placed ? placed_size : bytes.size(); }
};
/// A scan whose unit was asked for.
struct ScaleScan {
  Mesh mesh;
  double factor_to_mm = 1;
};
struct MakeSample {
  std::string name;
  std::optional<std::uint64_t> seed;
  std::uint32_t triangles = 0;
  bool with_bone = false;
};
struct OpenLink {
  std::string fragment;
};
/// The scans of a case laid on the teeth of its bone.
struct LayScansOnBone {
  Case whole;
};
/// The average arch laid on a scan, for proposals of teeth.
struct LayArch {
  SurfacePtr surface;
  bool upper = true;
  std::optional<Pose> patient_from_scan;
};
/// Contacts of pairs of posed bodies.
struct FindContacts {
  std::vector<PosedPairOfBodies> pairs;
  ContactSettings settings;
};
struct WriteCase {
  Case to_write;
};
/// The pieces into which a plan cuts the bone, but for those that whoever asks has already.
struct MakeCuts {
  Case whole;
  std::string plan;
  std::vector<std::string> known;  ///< keys of a PieceCache
};
/// Positions in which the arches seat best, from where a plan leaves them. `in_pieces` has the plan's cuts made.
struct SeatBite {
  Case in_pieces;
  std::string plan;
  SettleMoving moving;
  SettleSettings settings;
};
/// A turn of the lower jaw about the hinge axis, likewise.
struct CloseJaw {
  Case in_pieces;
  std::string plan;
  ClosingGoal goal;
};
/// A question of practice with its case.
struct MakeQuestion {
  QuestionSpec spec;
  std::uint32_t triangles = 0;
};

/// A question of a graded set as its server gave it out.
struct ReadShownQuestion {
  std::vector<std::uint8_t> bytes;
};
/// A question of practice without its case, to mark answers by.
struct AskQuestion {
  QuestionSpec spec;
};

/// Where bones of a plan overlap, by place; `pairs` are those of two bones. `in_pieces` has the plan's cuts made.
struct FindBoneInWay {
  Case in_pieces;
  std::string plan;
  SegmentPoses poses;
  std::vector<PosedPairOfBodies> pairs;
  ContactSettings settings;
};
/// Makes ready for a hand what takes long the first time.
struct MakeLight {
  SurfacePtr body;
};
/// What is told of a plan while a hand moves its pieces. `in_pieces` has the plan's cuts made; it comes with the first
/// step of a hand, and the others are of the same case.
struct FollowHand {
  std::optional<Case> in_pieces;
  std::string plan;
  SegmentPoses poses;
  bool plates = false;  ///< whether they are wanted
};
/// The bones that are cut back where others are in their way, as they are afterwards.
struct TrimBones {
  FindBoneInWay where;
  double clearance_mm = 0;
};
/// Gaps, steps and screws where plates go. `in_pieces` has the plan's cuts made.
struct MeasurePlates {
  Case in_pieces;
  std::string plan;
  SegmentPoses poses;
};
/// Teeth that pass through each other on the way of a plan. `in_pieces` has the plan's cuts made.
struct WalkTheWay {
  Case in_pieces;
  std::string plan;
};
/// Two plans of a case beside each other.
struct ComparePlans {
  Case whole;
  std::string first, second;
};
/// The theatre sheet of a plan as PDF.
struct MakeSheet {
  Case to_draw;
  std::string plan, checked_by, date;
  std::vector<std::string> agreed;  ///< who agreed to what; empty: nobody
  double clearance_mm = 0.5;        ///< to leave where bone is removed
};
/// A splint of a plan. `in_pieces` has the plan's cuts made.
struct MakeSplint {
  Case in_pieces;
  std::string plan, digest;
  SplintOrder order;
  bool mend = false;                      ///< what is thin, as long as there is any
  std::vector<SplintChange> mended = {};  ///< changed in the order for that already
};

using Errand =
    std::variant<ReadFile, ScaleScan, MakeSample, OpenLink, LayArch, FindContacts, WriteCase, MakeCuts, SeatBite,
                 CloseJaw, MakeQuestion, FindBoneInWay, MakeSheet, MakeSplint, ComparePlans, TrimBones, MeasurePlates,
                 LayScansOnBone, AskQuestion, WalkTheWay, ReadShownQuestion, MakeLight, FollowHand>;

/// What is worked out about a surface once, besides what it holds itself.
struct SurfaceNotes {
  SurfaceLookPtr look;
  std::vector<std::string> findings;  ///< what is wrong with it or worth knowing, in sentences
};
struct ReadySurface {
  SurfacePtr surface;
  std::string mesh_sha256;
  SurfaceNotes notes;
};
struct CaseOpened {
  Case opened;
  std::vector<SurfaceNotes> notes;  ///< one a body
  std::string view_json;            ///< of a link; empty otherwise
};
/// A scan; `ready` is there unless its unit must be asked first, then `mesh` waits.
struct ScanRead {
  std::vector<std::string> remarks;  ///< what the reader did
  UnitGuess unit;
  Mesh mesh;
  std::optional<ReadySurface> ready;
};
/// The results of a class: a text with codes in it.
struct ResultsRead {
  std::string text;
};
/// The file that keeps a student's progress.
struct ProgressRead {
  std::string text;
};
struct LandmarksRead {
  LandmarkSet landmarks;
};
struct ScansLaid {
  struct Scan {
    std::string body;
    ReadySurface ready;
  };
  std::vector<Scan> moved;        ///< what lies elsewhere now
  LandmarkSet landmarks;          ///< all of the case's, as they are then
  std::vector<std::string> said;  ///< see join_scans_to_bone
};
struct ArchLaid {
  ArchFit fit;
};
struct ContactsFound {
  std::vector<ContactPair> pairs;
};
struct CaseWritten {
  std::vector<std::uint8_t> bytes;
};
struct SawnPiece {
  std::string key;
  PieceCache::Sawn sawn;
  SurfaceNotes positive_notes, negative_notes;
};
struct CutsMade {
  std::vector<SawnPiece> pieces;
};
struct BiteSeated {
  std::vector<SettleOffer> offers;
};
struct JawClosed {
  ClosingResult result;
};
struct QuestionMade {
  PracticeQuestion question;
  std::string look_from;  ///< see side_to_look_from
  Case opened;
  std::vector<SurfaceNotes> notes;  ///< one a body
};

struct QuestionAsked {
  PracticeQuestion question;
};

struct BoneFound {
  /// Bone that two pieces share at one place.
  struct Place {
    std::string first, second, site;
    bool planned = false;  ///< the wedge that the cut and the movement imply
    double depth_mm = 0, thickness_mm = 0, area_mm2 = 0;
    std::optional<double> volume_mm3;
    Vec3 at = Vec3::Zero(), direction = Vec3::UnitZ();
    std::string touches;  ///< what taking it off comes near, nearest first; empty for nothing
  };
  std::vector<Place> places;
};
struct BonesTrimmed {
  struct Bone {
    std::string body;
    std::vector<std::string> others;                  ///< that it was cut back from
    ReadySurface ready;                               ///< in place of the body's surface
    double removed_mm3 = 0, left_mm = 0, gap_mm = 0;  ///< see Removal
  };
  double clearance_mm = 0;
  std::vector<Bone> bones;
};
struct PlatesMeasured {
  std::vector<PlateGap> gaps;
};
struct LightMade {};
struct HandFollowed {
  std::vector<ContactPair> pairs;  ///< see HandStep
  BoneFound bone;
  std::vector<PlateGap> gaps;
};
struct WayWalked {
  std::vector<PathOverlap> overlaps;
};
struct PlansCompared {
  std::string report;  ///< JSON, see plans_beside
};
struct SheetMade {
  std::vector<std::uint8_t> pdf;
  std::string json;  ///< its text, see sheet_json
};
struct SplintMade {
  CaseSplint made;  ///< without its mesh, which `body` has, thin places coloured, and what else goes with its vertices
                    ///< but shown_mm
  ReadySurface body;                     ///< patient frame
  std::string report;                    ///< see splint_report
  std::vector<std::string> warnings;     ///< see splint_warnings
  std::string overlap;                   ///< see splint_overlap_words
  std::vector<std::string> thin_places;  ///< where, one for each of made.splint.thin
};

using ErrandAnswer = std::variant<Error, CaseOpened, ScanRead, ReadySurface, LandmarksRead, ArchLaid, ContactsFound,
                                  CaseWritten, CutsMade, BiteSeated, JawClosed, QuestionMade, BoneFound, SheetMade,
                                  SplintMade, PlansCompared, BonesTrimmed, PlatesMeasured, ScansLaid, QuestionAsked,
                                  ResultsRead, WayWalked, ProgressRead, LightMade, HandFollowed>;

}  // namespace intercusp
