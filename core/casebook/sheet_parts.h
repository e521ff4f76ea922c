// What the sheet is put together from. Within this room only.
#pragma once

#include "casebook/cut_case.h"
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
  bool has_bone = false, two_jaws = false;
  std::vector<SheetCut> cuts;           ///< in the order of the plan
  std::vector<PathOverlap> on_the_way;  ///< see overlaps_on_the_way
};

/// How the teeth stand against each other as planned.
struct SheetTeeth {
  int contacts = 0;                      ///< places where the arches touch or overlap
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

std::vector<std::string> sheet_movements(const SheetCase& s);
/// What must be seen first, worst first; one sentence each.
std::vector<std::string> sheet_warnings(const SheetCase& s, const SheetTeeth& teeth,
                                        const std::vector<BoneInWay>& bone);
SheetTable movement_table(const SheetCase& s);
SheetTable cut_table(const SheetCase& s);
SheetTable bone_table(const SheetCase& s, const std::vector<BoneInWay>& rows, double clearance_mm, std::size_t most);
SheetTable plate_table(const SheetCase& s);
SheetTable condyle_table(const SheetCase& s);
/// Empty where nothing is recorded of the face.
SheetTable face_table(const SheetCase& s);
SheetTable occlusion_table(const SheetCase& s);
SheetTable vertical_table(const SheetCase& s);
SheetTable stability_table(const SheetCase& s);

/// `pairs`: contacts as planned.
SheetTeeth sheet_teeth(const SheetCase& s, const std::vector<ContactPair>& pairs);
SheetBite sheet_bite(const SheetCase& s, int contacts);
std::vector<SheetView> sheet_views(const SheetCase& s);

}  // namespace intercusp
