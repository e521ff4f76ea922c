// What whoever opens the sheet must see first: gathered from what its tables say further below.
#include <algorithm>

#include "casebook/plate_sites.h"
#include "casebook/reports.h"
#include "casebook/sheet_parts.h"
#include "surgery/osteotomy.h"

namespace intercusp {

namespace {

constexpr std::size_t kMostPlaces = 2;  // that meet only bone, named one by one; the table of bone has the others

/// A line, and whether it is of something that runs into a vessel, a nerve or a root.
struct SheetWarning {
  bool meets = false;
  std::string words;
};

std::string place_in_way(const BoneInWay& row) {
  std::string words = row.part.site.words + ", " + fixed_number(row.part.overlap.deepest_mm, 2) + " mm deep";
  if (row.touches.empty()) return words;
  const Touched& nearest = row.touches.front();
  return words + (nearest.distance_mm <= 0
                      ? ", MEETS the " + nearest.words
                      : ", " + fixed_number(nearest.distance_mm, 1) + " mm from the " + nearest.words);
}

bool meets_something(const BoneInWay& row) {
  return !row.touches.empty() && row.touches.front().distance_mm <= 0;
}

void warn_of_bone(const std::vector<BoneInWay>& bone, std::vector<SheetWarning>& lines) {
  std::size_t others = 0;
  for (const BoneInWay& row : bone) {
    const bool meets = meets_something(row);
    if (row.planned && meets) lines.push_back({meets, "Planned removal: " + place_in_way(row) + "."});
    if (row.planned) continue;
    others += !meets;
    if (meets || others <= kMostPlaces) lines.push_back({meets, "CONTACT: " + place_in_way(row) + "."});
  }
  if (others > kMostPlaces)
    lines.push_back({false, "CONTACT at " + std::to_string(others - kMostPlaces) + " more: see the bone to remove."});
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

void warn_of_teeth(const SheetTeeth& teeth, std::vector<SheetWarning>& lines) {
  if (teeth.deepest_mm < kTouchingDepthMm) return;
  const std::string where = teeth.upper_tooth && teeth.lower_tooth ? " (" + std::to_string(teeth.upper_tooth) + " on " +
                                                                         std::to_string(teeth.lower_tooth) + ")"
                                                                   : "";
  lines.push_back({false, "TEETH pass through each other by up to " + fixed_number(teeth.deepest_mm, 2) +
                              " mm as planned" + where + ": they will not meet so."});
}

void warn_of_moves(const SheetCase& s, std::vector<SheetWarning>& lines) {
  for (const PathOverlap& way : s.on_the_way)
    lines.push_back({false, "Step " + std::to_string(way.entry + 1) + ": teeth pass through each other by up to " +
                                fixed_number(way.deepest_mm, 2) + " mm on the way: open the jaw for it."});
  for (const StabilityNote& note : stability_notes(extent_of(s.cut, s.planned)))
    if (note.beyond_usual) lines.push_back({false, "BEYOND the usual: " + note.move + " (" + note.usual + ")."});
}

}  // namespace

std::vector<std::string> sheet_warnings(const SheetCase& s, const SheetTeeth& teeth,
                                        const std::vector<BoneInWay>& bone) {
  std::vector<SheetWarning> lines;
  warn_of_teeth(teeth, lines);
  warn_of_bone(bone, lines);
  warn_of_cuts(s, lines);
  warn_of_moves(s, lines);
  if (lines.empty())
    lines.push_back({false, "Nothing measured here stands out. What the case does not hold is not seen."});
  std::stable_partition(lines.begin(), lines.end(), [](const SheetWarning& line) { return line.meets; });
  std::vector<std::string> words;
  for (SheetWarning& line : lines) words.push_back(std::move(line.words));
  return words;
}

}  // namespace intercusp
