// What the sheet is put together from. Within this room only.
#pragma once

#include "base/capital.h"
#include "casebook/cut_case.h"
#include "casebook/plate_sites.h"
#include "casebook/sheet.h"
#include "casebook/tooth_path.h"

namespace intercusp {

/// A cut of the plan and what lies nearest to it.
struct SheetCut {
  Osteotomy cut;
  std::optional<CutClearance> nearest;  ///< empty where no root, canal or foramen is known
  std::vector<CutLevel> levels;
};

/// The plan at its three moments; `cut` is the case with the cuts made.
struct SheetCase {
  const Case* whole = nullptr;
  const Plan* plan = nullptr;
  Case cut;
  SegmentPoses rest, intermediate, planned;
  bool has_bone = false;
  bool two_jaws = false;                                          ///< both move so that there is a bite between the two
  std::vector<SheetCut> cuts;                                     ///< in the order of the plan
  std::vector<PathOverlap> on_the_way;                            ///< see overlaps_on_the_way
  std::vector<PlateGap> plates, plates_at_rest;                   ///< as planned, and where the bones stand at rest
  std::vector<MeasureRow> read_rest, read_between, read_planned;  ///< of the bite
};

/// The bones that meet; those of two jaws at the intermediate position as well.
struct SheetBone {
  std::vector<BoneInWay> planned, intermediate;
};

/// All that bones share at one named place, whether planned or not: several regions as one.
struct BonePlace {
  std::string words, side;
  bool planned = false;
  double deepest_mm = 0, thickness_mm = 0, volume_mm3 = 0;
  bool open = false;             ///< some of it has no volume
  std::vector<Touched> touches;  ///< nearest first

  bool meets() const { return !touches.empty() && touches.front().distance_mm <= 0; }
};

/// A screw of a plate and what it comes near.
struct SheetScrew {
  std::string site;                         ///< "left ramus, front of the split"
  std::string bone;                         ///< "in the ramus"
  std::optional<double> root_mm, canal_mm;  ///< of its whole length, at most 0 where it meets; empty: none is known
  std::string tooth;                        ///< of the root; empty where no landmark names it
};
constexpr double kScrewNearMm = 1;  ///< nearer to a root or canal is said: common practice, no source

/// How the teeth stand against each other as planned.
struct SheetTeeth {
  bool both_arches = false;
  int contacts = 0;                      ///< places where the arches touch or overlap
  int contacts_right = 0;                ///< of these on the patient's right
  int overlaps = 0;                      ///< places deeper than what scans can err by
  double deepest_mm = 0;                 ///< overlap
  int upper_tooth = 0, lower_tooth = 0;  ///< there; 0 where no landmark names them
};

/// "Le Fort I", "Chin": a cut as the head of a line.
std::string cut_title(CutKind kind);
std::string fixed_number(double value, int decimals);
/// "5.0 forward", "0.0" where it rounds to zero.
std::string towards(double mm, const char* positive, const char* negative, int decimals = 1);
/// "5.50 Class III", "0.50 Class I, towards II".
std::string relation_words(double mm, const std::string& relation);
/// "1 place", "3 places".
std::string counted(std::size_t number, const std::string& one);
/// A joined to B by commas.
void add_phrase(std::string& list, const std::string& phrase, const char* between = ", ");

/// The jaw's own name in this case: cut or whole.
std::string jaw_segment(const SheetCase& s, bool lower);
/// Their middle; empty where one is not placed.
std::optional<Vec3> mean_of(const PointMap& points, const std::vector<std::string>& names);
/// The row of a measure; null where it has no value.
const MeasureRow* row_of(const std::vector<MeasureRow>& rows, const std::string& id);
std::optional<double> amount_of(const std::vector<MeasureRow>& rows, const char* id);

/// Whether of the lower jaw nothing moves but the chin, so that the bite does not see it.
bool only_the_chin(const Plan& plan);
std::string staging_words(const SheetCase& s);
/// "on the way of the lower jaw's 3.0 mm back".
std::string way_words(const SheetCase& s, const PathOverlap& way);

std::vector<std::string> sheet_movements(const SheetCase& s);
/// What must be seen first, worst first; one sentence each.
std::vector<std::string> sheet_warnings(const SheetCase& s, const SheetTeeth& teeth, const SheetBone& bone);
SheetTable movement_table(const SheetCase& s);
SheetTable cut_table(const SheetCase& s);

/// A line for each condyle that the plan drives into its fossa; of one where only the intermediate position does, that.
std::vector<std::string> condyle_warnings(const SheetBone& bone);
/// Whether a condyle lies in its fossa there: a fault of the plan, no bone to be taken off.
bool in_joint(const BoneInWay& row);
/// The places without the joints, planned ones first, each deepest first.
std::vector<BonePlace> bone_places(const std::vector<BoneInWay>& rows);
/// `most`: rows of contact that nobody asked for; what is planned stands there whole.
SheetTable bone_table(const SheetCase& s, const SheetBone& bone, double clearance_mm, std::size_t most);

/// Every screw of the plates as planned.
std::vector<SheetScrew> sheet_screws(const SheetCase& s);
/// "MEETS the root of 37", "0.6 mm from the mandibular canal"; empty where nothing is near.
std::string screw_words(const SheetScrew& screw);
SheetTable plate_table(const SheetCase& s);
SheetTable vertical_table(const SheetCase& s);

SheetTable condyle_table(const SheetCase& s, const std::vector<BoneInWay>& bone);
/// Empty where nothing is recorded of the face.
SheetTable face_table(const SheetCase& s);
SheetTable occlusion_table(const SheetCase& s);
SheetTable stability_table(const SheetCase& s);
/// "upper jaw 3.4 mm up (mean of incisors and molars)".
std::string stability_move(const SheetCase& s, const StabilityNote& note);

/// `pairs`: contacts as planned.
SheetTeeth sheet_teeth(const SheetCase& s, const std::vector<ContactPair>& pairs);
SheetBite sheet_bite(const SheetCase& s, const SheetTeeth& teeth);
std::vector<SheetView> sheet_views(const SheetCase& s);

}  // namespace intercusp
