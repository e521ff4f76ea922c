// The splints of a plan: the arches in the relation that the plan gives, the opening asked for, and the words that go
// with the file.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "casebook/case.h"
#include "surgery/splint.h"

namespace intercusp {

constexpr double kFarthestOpeningMm = 20;  ///< at the incisors

/// What is asked for.
struct SplintOrder {
  Moment stage = Moment::planned;   ///< planned: the final splint; intermediate: with the first jaw moved only
  double opening_mm = 0;            ///< the lower jaw opened about the hinge axis, measured at its incisors
  bool open_for_thickness = false;  ///< open as little as leaves room for the least thickness, at least opening_mm
  std::vector<int> holes;           ///< teeth beside which, mesially, the outer rim gets a hole for a wire
  std::vector<std::pair<int, double>>
      relief;              ///< teeth with something bonded to them, and the extra room around it, mm
  bool raise_text = true;  ///< case, plan, stage and the digest's beginning, on the outer rim
  SplintSettings settings;
};

/// Whether both ask for the same; what is worked out for a case (places of holes and relief) does not count.
bool same_order(const SplintOrder& a, const SplintOrder& b);

/// The same on a coarse grid and without the seating: to see form and room, not to be printed.
SplintOrder quick_look(const SplintOrder& order);

/// Where the two arches come nearest, or pass through each other (negative gap), in the relation of the splint.
struct ArchGap {
  double gap_mm = 0;
  Vec3 at = Vec3::Zero();
  int upper_tooth = 0, lower_tooth = 0;  ///< 0 where no landmark names it
};

/// A number of the order that was changed to mend thin places.
struct SplintChange {
  std::string key, name;  ///< as scripts call it; for a sentence
  double from_mm = 0, to_mm = 0;
};

struct CaseSplint {
  SplintOrder order;
  Splint splint;
  SegmentPoses poses;  ///< in which the arches are held: those of the stage, the lower jaw opened
  double opened_deg = 0, opened_mm = 0;
  std::string axis;  ///< about which it was opened, in words; empty when it was not
  ArchGap nearest;
  std::string digest;                ///< of the plan
  std::vector<SplintChange> mended;  ///< what was changed to mend thin places; see casebook/splint_mend.h
};

/// Error where thin places are refused and there are any.
Status refuse_thin_walls(const Case& c, const CaseSplint& made);

/// Makes the splint of a stage. `c` as with_cuts gives it for the plan, `digest` that of the plan. Errors as
/// make_splint, and: arches that pass through each other by more than allowed, no room for the least thickness where
/// thin places are refused; both with the opening that would do.
Result<CaseSplint> splint_of_case(const Case& c, const Plan& plan, const std::string& digest, const SplintOrder& order,
                                  const Progress& progress = Progress());

/// Everything that is known about it; see docs/splints.md.
nlohmann::json splint_report(const Case& c, const Plan& plan, const CaseSplint& made);

/// What may be raised on it, the fullest first: case, plan, stage and the beginning of the digest.
std::vector<std::string> splint_labels(const Case& c, const Plan& plan, Moment stage, const std::string& digest);

/// The note that goes with the file: what it is, who checked it (empty: nobody yet), how it was made and how it fits,
/// and the cautions.
std::string splint_note(const Case& c, const Plan& plan, const CaseSplint& made, const std::string& checked_by);

/// A place for a sentence: "between 16 and 46", "at 13", "away from the teeth". O(landmarks).
std::string splint_place(const Case& c, const CaseSplint& made, const Vec3& at);

/// That the teeth pass through each other in the relation held, and what to do; empty where they do not.
std::string splint_overlap_words(const Case& c, const CaseSplint& made);

/// What whoever makes or uses the splint must hear, one sentence each; empty when there is nothing.
std::vector<std::string> splint_warnings(const Case& c, const CaseSplint& made);

}  // namespace intercusp
