// The one page that goes into theatre: what moves where, what is removed, what to check. Its numbers first, then drawn.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "casebook/bone_in_way.h"
#include "casebook/case.h"

namespace intercusp {

/// What the case does not know itself.
struct SheetOrder {
  std::string checked_by;                ///< the person who checked it; empty: nobody yet, and the sheet says so
  std::string date;                      ///< "2026-02-21"; the only thing on the page that is not the case's
  double clearance_mm = 0.5;             ///< to leave where bone is removed
  std::vector<std::string> agreed = {};  ///< who agreed to what, a line each; empty: nobody, and the sheet says so
};

/// A block of the sheet.
struct SheetTable {
  std::string title;
  std::vector<std::string> head;  ///< empty: no headings
  std::vector<double> shares;     ///< of the width, one a column
  std::vector<std::vector<std::string>> rows;
  std::vector<std::string> notes;  ///< below the rows
  bool narrow = false;             ///< may stand in the narrow column, where that has room
};

/// A line of the section through the incisors: forward and up from the upper incisal midpoint at rest, mm.
using SheetLine = std::vector<Eigen::Vector2d>;

/// A molar or canine relation as the card draws it.
struct SheetRelation {
  std::string name;  ///< "molar"
  bool right = true;
  std::optional<double> mm_before, mm;  ///< + Class II direction
  std::string relation;                 ///< "I", "II", "III"
  double unit_mm = 7;
};

struct SheetBite {
  std::string pair;  ///< "11/41"
  std::vector<SheetLine> upper, lower, upper_before, lower_before;
  std::optional<double> overjet, overbite, midline, midline_upper_face, midline_lower_face;
  std::vector<SheetRelation> relations;
  int contacts = 0;        ///< places where the arches touch or overlap
  int contacts_right = 0;  ///< of these on the patient's right
};

/// A small picture, rows from above, 0 black to 255 white.
struct SheetView {
  std::string words;              ///< "from the front"
  std::string at_left, at_right;  ///< "R", "L" at the sides of the picture where the patient's sides are seen
  int width = 0, height = 0;
  std::vector<std::uint8_t> grey;
};

struct TheatreSheet {
  std::string case_id, plan, digest, staging, checked_by, date;
  std::vector<std::string> warnings;   ///< sentences, above everything else
  std::vector<std::string> movements;  ///< sentences
  std::vector<SheetTable> tables;      ///< in the order of the page
  SheetBite bite;
  std::vector<SheetView> views;
  std::vector<std::string> agreed = {};  ///< lines
  std::vector<std::string> cautions;
};

/// Everything on the page, from the case as it is stored (uncut). Errors: no such day or plan; a cut or a movement that
/// cannot be made. Costs the cuts, one query of all pairs (two where both jaws move), one of the arches for each look
/// at the way of a movement, and four small pictures.
Result<TheatreSheet> make_sheet(const Case& c, const std::string& plan, const SheetOrder& order);

/// One A4 page as PDF, more where what it says has no room in a size that can be read: text in the standard Helvetica,
/// drawings as lines, pictures in grey. The same bytes from every build for the same sheet. Error when it cannot be
/// written.
Result<std::vector<std::uint8_t>> sheet_pdf(const TheatreSheet& sheet);

/// "Checked by: A. Checker", or that nobody has.
std::string sheet_checked_words(const TheatreSheet& sheet);

/// "Upper jaw", "Right piece of the upper jaw", ...
std::string sheet_segment_words(const std::string& segment);

/// The sheet's text as JSON: {"case","plan","digest","staging","checked_by","date","warnings":[...],
/// "movements":[...],"agreed":[...],
/// "tables":[{"title","head","rows","notes"}],"contacts":{"right","left"},"cautions":[...]}.
nlohmann::json sheet_json(const TheatreSheet& sheet);

}  // namespace intercusp
