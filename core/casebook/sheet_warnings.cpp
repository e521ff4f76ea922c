// What whoever opens the sheet must see first: gathered from what its tables say further below.
#include <algorithm>
#include <cmath>

#include "casebook/reports.h"
#include "casebook/sheet_parts.h"

namespace intercusp {

namespace {

constexpr std::size_t kMostPlaces = 2;  // that meet only bone, named one by one; the table of bone has the others
/// From there on teeth pass through each other, mm; less is an early contact. Common practice, no source.
constexpr double kEarlyContactMm = 0.3;
constexpr double kMidlineMm = 1 - 0.005;  ///< apart by 1.00 as shown is worth a line, likewise

/// A line, and whether it is of something that runs into a vessel, a nerve or a root.
struct SheetWarning {
  bool meets = false;
  std::string words;
};

std::string place_in_way(const BonePlace& place) {
  std::string words = place.words + ", " + fixed_number(place.deepest_mm, 2) + " mm deep";
  if (place.touches.empty()) return words;
  const Touched& nearest = place.touches.front();
  return words + (nearest.distance_mm <= 0
                      ? ", MEETS the " + nearest.words
                      : ", " + fixed_number(nearest.distance_mm, 1) + " mm from the " + nearest.words);
}

void warn_of_bone(const SheetBone& bone, std::vector<SheetWarning>& lines) {
  std::size_t others = 0, contacts = 0;
  for (const BonePlace& place : bone_places(bone.planned)) {
    const bool meets = place.meets();
    if (place.planned && meets) lines.push_back({meets, "Planned removal: " + place_in_way(place) + "."});
    if (place.planned) continue;
    ++contacts;
    others += !meets;
    if (meets || others <= kMostPlaces) lines.push_back({meets, "CONTACT: " + place_in_way(place) + "."});
  }
  if (others > kMostPlaces) {
    lines.push_back({false, "CONTACT at " + counted(others - kMostPlaces, "more place") + ", " +
                                std::to_string(contacts) + " in all: see the bone to remove."});
  }
}

/// How deep the condyle of a side lies in its fossa; 0 where it does not.
double in_fossa_mm(const std::vector<BoneInWay>& rows, const std::string& side) {
  double deepest = 0;
  for (const BoneInWay& row : rows) {
    if (in_joint(row) && row.part.site.side == side) deepest = std::max(deepest, row.part.overlap.deepest_mm);
  }
  return deepest;
}

void warn_of_cuts(const SheetCase& s, std::vector<SheetWarning>& lines) {
  for (const SheetCut& cut : s.cuts) {
    for (const std::string& lacking : lacking_of(cut.levels))
      lines.push_back({false, cut_title(cut.cut.kind) + ": " + lacking + "."});
    if (!cut.nearest || !cut.nearest->too_near()) continue;
    const CutClearance& row = *cut.nearest;
    const bool meets = row.distance_mm < 0;
    lines.push_back({meets, cut_title(cut.cut.kind) + ": " +
                                (meets ? "MEETS the " + row.words + " by " + fixed_number(-row.distance_mm, 2) + " mm."
                                       : fixed_number(row.distance_mm, 2) + " mm to the " + row.words + ", under " +
                                             fixed_number(row.limit_mm, 1) + ".")});
  }
}

void warn_of_screws(const SheetCase& s, std::vector<SheetWarning>& lines) {
  for (const SheetScrew& screw : sheet_screws(s)) {
    const std::string near = screw_words(screw);
    if (near.empty()) continue;
    const std::string length = fixed_number(kScrewLength, 0);
    lines.push_back({near.rfind("MEETS", 0) == 0,
                     "SCREW of " + length + " mm, " + screw.site + ", " + screw.bone + ": " + near + "."});
  }
}

std::string pair_of_teeth(const SheetTeeth& teeth) {
  if (teeth.upper_tooth == 0 || teeth.lower_tooth == 0) return "upper on lower teeth";
  return std::to_string(teeth.upper_tooth) + " on " + std::to_string(teeth.lower_tooth);
}

void warn_of_overlap(const SheetTeeth& teeth, std::vector<SheetWarning>& lines) {
  if (teeth.both_arches && teeth.contacts == 0 && teeth.deepest_mm <= 0)
    lines.push_back({false, "NO CONTACT: upper and lower teeth do not meet anywhere as planned."});
  if (teeth.deepest_mm < kTouchingDepthMm) return;
  const std::string depth = fixed_number(teeth.deepest_mm, 2),
                    all = teeth.overlaps > 1 ? ", in all at " + std::to_string(teeth.overlaps) + " places" : "";
  lines.push_back({false, teeth.deepest_mm < kEarlyContactMm
                              ? "EARLY CONTACT " + pair_of_teeth(teeth) + ", " + depth + " mm as planned" + all + "."
                              : "TEETH pass through each other by up to " + depth + " mm as planned (" +
                                    pair_of_teeth(teeth) + ")" + all + ": they will not meet so."});
}

/// What nobody plans on purpose without saying so: an open or reverse bite, midlines apart.
void warn_of_bite(const SheetCase& s, std::vector<SheetWarning>& lines) {
  const auto overbite = amount_of(s.read_planned, "overbite"), overjet = amount_of(s.read_planned, "overjet"),
             midline = amount_of(s.read_planned, "midline_upper_lower");
  if (overbite && *overbite <= -kTouchingDepthMm)
    lines.push_back({false, "OPEN BITE in front as planned, " + fixed_number(-*overbite, 2) + " mm."});
  if (overjet && *overjet <= -kTouchingDepthMm)
    lines.push_back({false, "REVERSE OVERJET as planned, " + fixed_number(-*overjet, 2) + " mm."});
  if (midline && std::abs(*midline) >= kMidlineMm) {
    lines.push_back({false, "MIDLINES " + fixed_number(std::abs(*midline), 2) +
                                " mm apart as planned, the upper to the " + (*midline > 0 ? "left" : "right") +
                                " of the lower."});
  }
}

/// Behind the canines, side by side: the vertical that is lost there is seen last in front, and first by the patient.
void warn_of_sides(const SheetCase& s, std::vector<SheetWarning>& lines) {
  for (const std::string side : {"right", "left"}) {
    const auto gap = amount_of(s.read_planned, ("open_bite_" + side).c_str()),
               across = amount_of(s.read_planned, ("posterior_crossbite_" + side).c_str());
    // What is shown as the end of the usual range is worth a line, as with the midlines.
    if (gap && *gap >= find_measure("open_bite_" + side)->usual->at(1) - 0.005)
      lines.push_back({false, "OPEN BITE at the back on the " + side + " as planned, up to " + fixed_number(*gap, 2) +
                                  " mm under the palatal cusps."});
    if (across && *across <= -kTouchingDepthMm)
      lines.push_back({false, "CROSSBITE at the back on the " + side + " as planned, " + fixed_number(-*across, 2) +
                                  " mm at the worst tooth."});
  }
}

void warn_of_two_midlines(const SheetCase& s, std::vector<SheetWarning>& lines) {
  const auto records = amount_of(s.read_rest, "midline_upper_face"), clinic = s.whole->face.number("midline_upper_mm");
  if (!records || !clinic || std::abs(*records - *clinic) < kMidlineMm) return;
  lines.push_back({false, "UPPER MIDLINE at the start: " + towards(*records, "mm left", "mm right") +
                              " by the records, " + towards(*clinic, "mm left", "mm right") +
                              " as read in the clinic. Settle which holds."});
}

void warn_of_moves(const SheetCase& s, std::vector<SheetWarning>& lines) {
  for (const PathOverlap& way : s.on_the_way)
    lines.push_back({false, "TEETH " + teeth_words(way) + " pass through each other by up to " +
                                fixed_number(way.deepest_mm, 2) + " mm " + way_words(s, way) +
                                ": open the jaw for it."});
  for (const StabilityNote& note : stability_notes(extent_of(s.cut, s.planned)))
    if (note.beyond_usual)
      lines.push_back({false, "BEYOND the usual: " + stability_move(s, note) + "; " + note.usual + "."});
}

}  // namespace

std::vector<std::string> condyle_warnings(const SheetBone& bone) {
  std::vector<std::string> lines;
  for (const char* side : {"right", "left"}) {
    const double planned = in_fossa_mm(bone.planned, side), between = in_fossa_mm(bone.intermediate, side);
    const bool as_planned = planned >= kTouchingDepthMm;
    if (!as_planned && between < kTouchingDepthMm) continue;
    lines.push_back(std::string("CONDYLE ") + side + " is driven " + fixed_number(as_planned ? planned : between, 1) +
                    " mm into its fossa" + (as_planned ? "" : " in the intermediate position") +
                    ": no bone is taken off there, change the plan.");
  }
  return lines;
}

std::vector<std::string> sheet_warnings(const SheetCase& s, const SheetTeeth& teeth, const SheetBone& bone) {
  std::vector<SheetWarning> lines;
  warn_of_overlap(teeth, lines);
  for (std::string& words : condyle_warnings(bone)) lines.push_back({false, std::move(words)});
  warn_of_bone(bone, lines);
  warn_of_cuts(s, lines);
  warn_of_screws(s, lines);
  warn_of_bite(s, lines);
  warn_of_sides(s, lines);
  warn_of_two_midlines(s, lines);
  warn_of_moves(s, lines);
  if (lines.empty())
    lines.push_back({false, "Nothing measured here stands out. What the case does not hold is not seen."});
  std::stable_partition(lines.begin(), lines.end(), [](const SheetWarning& line) { return line.meets; });
  std::vector<std::string> words;
  for (SheetWarning& line : lines) words.push_back(std::move(line.words));
  return words;
}

}  // namespace intercusp
