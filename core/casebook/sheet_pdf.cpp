// The sheet on A4, on one page where it fits in a size that can be read. Two columns: words and tables at the left,
// pictures and the bite at the right.
#include <algorithm>
#include <cmath>

#include <hpdf.h>

#include "base/calendar.h"
#include "casebook/sheet_letters.h"
#include "casebook/sheet_paper.h"
#include "casebook/sheet_parts.h"

namespace intercusp {

namespace {

constexpr float kBetween = 12, kRightColumn = 186;
constexpr float kLeftWidth = kPaperWidth - 2 * kPaperEdge - kBetween - kRightColumn,
                kRightX = kPaperWidth - kPaperEdge - kRightColumn;
constexpr float kFine = 5.8f, kSmall = 6.4f, kText = 7.2f, kSentence = 7.8f, kHeading = 8.4f, kTitle = 14;
constexpr float kNarrow = 0.9f;     ///< of the type of tables in the right column
constexpr float kLargest = 1.16f;   ///< of the left column's type
constexpr float kSmallest = 0.76f;  ///< of it: smaller is not read in theatre
constexpr float kOnMorePages = 1;   ///< of it where one page does not hold it all

struct Fault {
  HPDF_STATUS error = 0, detail = 0;
};

void note_fault(HPDF_STATUS error, HPDF_STATUS detail, void* to) {
  *static_cast<Fault*>(to) = {error, detail};
}

/// A row of a table in one type, as high as its highest cell.
class TableRow {
 public:
  TableRow(PaperColumn& column, const SheetTable& table, const std::vector<std::string>& cells, bool bold, float size)
      : column_(column), table_(table), cells_(cells), bold_(bold), size_(size) {}

  float height() const {
    std::size_t lines = 1;
    for (std::size_t i = 0; i < cells_.size(); ++i)
      lines = std::max(lines, column_.paper.broken(cells_[i], size_, width(i) - kGap, heavy(i)).size());
    return static_cast<float>(lines) * kPaperLead * size_;
  }

  void draw() const {
    float at = column_.x;
    for (std::size_t i = 0; i < cells_.size(); ++i) {
      column_.paper.paragraph(at, column_.y, cells_[i], size_, width(i) - kGap, heavy(i));
      at += width(i);
    }
    column_.y += height();
  }

 private:
  static constexpr float kGap = 3;
  float width(std::size_t i) const { return static_cast<float>(table_.shares[i]) * column_.width; }
  bool heavy(std::size_t i) const { return bold_ || cells_[i] == "CONTACT" || cells_[i] == "MEETS"; }

  PaperColumn& column_;
  const SheetTable& table_;
  const std::vector<std::string>& cells_;
  bool bold_;
  float size_;
};

void draw_table_head(PaperColumn& column, const SheetTable& table, const std::string& title, float scale) {
  const float size = scale * kSmall;
  column.heading(title, scale * kHeading, 2 * kPaperLead * size);
  if (!table.head.empty() && !table.rows.empty()) TableRow(column, table, table.head, true, size).draw();
}

/// Rows stay on one page each; where a table goes on to the next page, its head stands there again.
void draw_table(PaperColumn& column, const SheetTable& table, float scale) {
  const float size = scale * kSmall;
  draw_table_head(column, table, table.title, scale);
  for (const auto& cells : table.rows) {
    const TableRow row(column, table, cells, false, size);
    const std::size_t page = column.page;
    column.room(row.height());
    if (column.page != page) draw_table_head(column, table, table.title + ", continued", scale);
    row.draw();
  }
  for (const std::string& note : table.notes) column.paragraph(note, size);
  column.y += 3.5f * scale;
}

float draw_top(const Paper& paper, const TheatreSheet& sheet) {
  float y = kPaperEdge - 4;
  paper.line(kPaperEdge, y, "Movement sheet", kTitle, true);
  paper.line(kRightX, y + 2, sheet_checked_words(sheet), kText, true, kRightColumn);
  paper.line(kRightX, y + 2 + kPaperLead * kText, "Made on " + sheet.date, kText, false, kRightColumn);
  y += kPaperLead * kTitle;
  constexpr std::size_t kMostLines = 4;  // of a name: the pictures need their room below
  std::vector<std::string> names =
      paper.broken("Case " + sheet.case_id + "    Plan " + sheet.plan, kHeading, kLeftWidth, true);
  if (names.size() > kMostLines) {
    names.resize(kMostLines);
    names.back() += " ...";
  }
  for (const std::string& line : names) {
    paper.line(kPaperEdge, y, line, kHeading, true, kLeftWidth);
    y += kPaperLead * kHeading;
  }
  paper.line(kPaperEdge, y, "Plan's fingerprint (SHA-256) " + sheet.digest, kSmall, false,
             kPaperWidth - 2 * kPaperEdge);
  y += kPaperLead * kSmall + 1;
  paper.rule(kPaperEdge, y, kPaperWidth - kPaperEdge, y, 1);
  return y + 4;
}

// A bar beside the lines marks them without colour.
void draw_warnings(PaperColumn& column, const TheatreSheet& sheet, float scale) {
  const float size = scale * kText;
  column.heading("Watch first", scale * kHeading, 2 * kPaperLead * size);
  for (const std::string& words : sheet.warnings) {
    for (const std::string& line : column.paper.broken(words, size, column.width - 7, true)) {
      column.room(kPaperLead * size);
      column.paper.line(column.x + 7, column.y, line, size, true, column.width - 7);
      column.paper.rule(column.x + 1.5f, column.y, column.x + 1.5f, column.y + kPaperLead * size, 2.5f);
      column.y += kPaperLead * size;
    }
  }
  column.y += 3.5f * scale;
}

/// The left column from `top` down, without the tables that stand at the right; returns where it ends.
PaperColumn draw_left(Paper& paper, const TheatreSheet& sheet, float top, float scale,
                      const std::vector<const SheetTable*>& at_right) {
  PaperColumn column{paper, kPaperEdge, kLeftWidth, top};
  draw_warnings(column, sheet, scale);
  for (const std::string& sentence : sheet.movements) column.paragraph(sentence, scale * kSentence, true);
  column.y += 1;
  column.paragraph("Staging. " + sheet.staging, scale * kText);
  column.y += 2;
  for (const SheetTable& table : sheet.tables) {
    if (std::find(at_right.begin(), at_right.end(), &table) == at_right.end()) draw_table(column, table, scale);
  }
  return column;
}

/// The largest type with which the left column fits the page; where none does, one to be read on more pages.
float fitting_scale(Paper& paper, const TheatreSheet& sheet, float top,
                    const std::vector<const SheetTable*>& at_right) {
  paper.trial(true);
  float scale = kLargest;
  while (scale >= kSmallest && draw_left(paper, sheet, top, scale, at_right).page > 0) scale -= 0.02f;
  paper.trial(false);
  return scale >= kSmallest ? scale : kOnMorePages;
}

/// For the hospital's label and what is filled in by hand.
constexpr float kLabel = 38, kFilledIn = 14;
float draw_label_box(const Paper& paper, float y) {
  constexpr float kHalf = 0.5f * kRightColumn;
  paper.frame(kRightX, y, kRightColumn, kLabel, 0.5f);
  paper.line(kRightX + 3, y + 2, "Patient label", kSmall);
  paper.frame(kRightX, y + kLabel, kHalf, kFilledIn, 0.5f);
  paper.line(kRightX + 3, y + kLabel + 2, "Date", kSmall);
  paper.frame(kRightX + kHalf, y + kLabel, kHalf, kFilledIn, 0.5f);
  paper.line(kRightX + kHalf + 3, y + kLabel + 2, "Side confirmed", kSmall);
  return y + kLabel + kFilledIn + 4;
}

float draw_views(Paper& paper, const TheatreSheet& sheet, float y) {
  const float width = 0.5f * (kRightColumn - 6);
  PaperColumn head{paper, kRightX, kRightColumn, y};
  head.heading("Planned position", kHeading, 0);
  y = head.y;
  float row_height = 0;
  for (std::size_t i = 0; i < sheet.views.size(); ++i) {
    const SheetView& view = sheet.views[i];
    const float height = width * static_cast<float>(view.height) / static_cast<float>(view.width);
    const float x = kRightX + (i % 2 == 0 ? 0 : width + 6);
    paper.picture(view, x, y, width, height);
    paper.frame(x, y, width, height, 0.3f);
    paper.line(x + 3, y + 2, view.at_left, kText, true);
    paper.line(x + width - 3 - paper.width_of(view.at_right, kText, true), y + 2, view.at_right, kText, true);
    paper.line(x, y + height + 1, view.words, kSmall, false, width);
    row_height = height + kPaperLead * kSmall + 4;
    if (i % 2 == 1) y += row_height;
  }
  if (sheet.views.size() % 2 == 1) y += row_height;
  return paper.paragraph(kRightX, y - 2,
                         "R, L: the patient's right and left. Light: stays. Dark: moves. Dotted: where the moved parts "
                         "stood.",
                         kFine, kRightColumn) +
         3;
}

float draw_section(const Paper& paper, const SheetBite& bite, float y) {
  constexpr float kBox = 88;
  constexpr double kShown = 15;
  const double scale = 0.5 * kBox / kShown;
  Eigen::Vector2d middle(0, 0);
  std::size_t count = 0;
  for (const SheetLine& l : bite.upper) {
    for (const Eigen::Vector2d& p : l) middle += p;
    count += l.size();
  }
  // The patient faces left, as from the left side.
  const Eigen::Vector2d centre =
      count > 0 ? Eigen::Vector2d(middle / static_cast<double>(count) - Eigen::Vector2d(0, 5)) : middle;
  const float x0 = kRightX + 0.5f * (kRightColumn - kBox);
  const auto placed = [&](const SheetLine& line) {
    std::vector<SheetLine> runs(1);
    for (const Eigen::Vector2d& p : line) {
      const Eigen::Vector2d q(x0 + 0.5 * kBox - scale * (p - centre).x(), y + 0.5 * kBox - scale * (p - centre).y());
      const bool inside =
          std::abs(q.x() - x0 - 0.5 * kBox) < 0.5 * kBox && std::abs(q.y() - y - 0.5 * kBox) < 0.5 * kBox;
      if (inside) runs.back().push_back(q);
      if (!inside && !runs.back().empty()) runs.emplace_back();
    }
    return runs;
  };
  paper.frame(x0, y, kBox, kBox, 0.3f);
  paper.line(x0 - 22, y + 0.5f * kBox, "lip", kSmall, false, 20);
  paper.line(x0 + kBox + 4, y + 0.5f * kBox, "palate", kSmall, false, 30);
  const std::pair<const std::vector<SheetLine>*, bool> layers[] = {
      {&bite.upper_before, true}, {&bite.lower_before, true}, {&bite.upper, false}, {&bite.lower, false}};
  for (const auto& [lines, before] : layers) {
    paper.dashes(before);
    for (const SheetLine& l : *lines) {
      for (const SheetLine& run : placed(l)) paper.path(run, before ? 0.4f : 1.1f);
    }
  }
  paper.dashes(false);
  return y + kBox + 3;
}

/// A ruler in quarter units: the Class I place in the middle, a tick where the upper tooth stands, an open one before.
float draw_relation(const Paper& paper, const SheetRelation& r, float x, float y, float width) {
  const std::string side = r.right ? "right" : "left";
  // Towards which class it is off stands in the table, and the ruler shows it.
  const std::string reading =
      r.mm ? fixed_number(std::abs(*r.mm), 2) + " Class " + r.relation : std::string("not measurable");
  paper.line(x, y, side + " " + r.name + ": " + reading, kSmall, false, width);
  const float line_y = y + kPaperLead * kSmall + 6, middle = x + 0.5f * width, unit = 0.4f * width;
  paper.rule(middle - unit, line_y, middle + unit, line_y, 0.4f);
  for (int quarter = -4; quarter <= 4; ++quarter) {
    const float at = middle + unit * static_cast<float>(quarter) / 4, height = quarter == 0 ? 5.0f : 2.0f;
    paper.rule(at, line_y, at, line_y + height, quarter == 0 ? 0.9f : 0.3f);
  }
  // As one looks at the patient: mesial is towards the midline, to the right on the patient's right side.
  const auto place = [&](double mm) {
    const double share = std::clamp(mm / r.unit_mm, -1.2, 1.2);
    return middle + unit * static_cast<float>(r.right ? share : -share);
  };
  // The ends of the ruler: a right side looked at from in front has the midline, and Class II, at its right.
  constexpr float kEnds = 5;
  const std::string at_left = r.right ? "III" : "II", at_right = r.right ? "II" : "III";
  paper.line(middle - unit, line_y + 3, "Class " + at_left, kEnds);
  paper.line(middle - 0.5f * paper.width_of("I", kEnds), line_y + 5.5f, "I", kEnds);
  const std::string right_end = "Class " + at_right;
  paper.line(middle + unit - paper.width_of(right_end, kEnds), line_y + 3, right_end, kEnds);
  if (r.mm_before) {
    paper.dashes(true);
    paper.rule(place(*r.mm_before), line_y, place(*r.mm_before), line_y - 5, 0.5f);
    paper.dashes(false);
  }
  if (r.mm) paper.rule(place(*r.mm), line_y, place(*r.mm), line_y - 5, 1.4f);
  return line_y + 13;
}

float draw_bite(Paper& paper, const SheetBite& bite, float y) {
  PaperColumn head{paper, kRightX, kRightColumn, y};
  head.heading("The bite, planned (dashed: before)", kHeading, 0);
  y = head.y;
  const auto midline = [](const char* name, const std::optional<double>& mm) {
    return std::string(name) + (mm ? towards(*mm, "to the left", "to the right", 2) : "not measurable");
  };
  paper.line(kRightX, y, midline("Upper midline to the face, by the records: ", bite.midline_upper_face), kSmall, false,
             kRightColumn);
  y += kPaperLead * kSmall;
  paper.line(kRightX, y, midline("Lower midline to the face, by the records: ", bite.midline_lower_face), kSmall, false,
             kRightColumn);
  y += kPaperLead * kSmall;
  paper.line(kRightX, y, midline("Upper midline to the lower: ", bite.midline), kSmall, false, kRightColumn);
  y += kPaperLead * kSmall + 2;
  y = draw_section(paper, bite, y);
  const auto amount = [](const std::optional<double>& mm, const char* below) {
    return mm ? towards(*mm, "mm", below, 2) : std::string("not measurable");
  };
  y = paper.paragraph(kRightX, y,
                      "Section through " + (bite.pair.empty() ? std::string("no pair") : bite.pair) + ": overjet " +
                          amount(bite.overjet, "mm reverse") + ", overbite " + amount(bite.overbite, "mm open"),
                      kSmall, kRightColumn, true) +
      2;
  const float width = 0.5f * (kRightColumn - 8);
  float next = y;
  for (std::size_t i = 0; i < bite.relations.size(); ++i) {
    const SheetRelation& r = bite.relations[i];
    const float x = kRightX + (r.right ? 0 : width + 8);
    const float row_y = y + (r.name == "canine" ? 0.0f : 29.0f);
    next = std::max(next, draw_relation(paper, r, x, row_y, width));
  }
  const int right = bite.contacts_right;
  paper.line(kRightX, next,
             "Arches touch or overlap in " + counted(static_cast<std::size_t>(bite.contacts), "place") + " (right " +
                 std::to_string(right) + ", left " + std::to_string(bite.contacts - right) + ").",
             kSmall, false, kRightColumn);
  return next + kPaperLead * kSmall + 4;
}

/// Whether a letter of the case's own words could not be shown.
bool letters_changed(const TheatreSheet& sheet) {
  bool changed = false;
  for (const std::string* words : {&sheet.case_id, &sheet.plan, &sheet.checked_by}) sheet_letters(*words, &changed);
  for (const std::string& line : sheet.agreed) sheet_letters(line, &changed);
  return changed;
}

void draw_signatures(PaperColumn& column, const TheatreSheet& sheet) {
  column.heading("Agreed and checked", kHeading, kPaperLead * kSmall);
  for (const std::string& words : sheet.agreed) column.paragraph(words, kSmall);
  column.room(22 + kPaperLead * kSmall);
  column.y += 12;
  column.paper.rule(column.x, column.y, column.x + column.width, column.y);
  column.paper.line(column.x, column.y + 1, "signature, date", kSmall);
  column.y += 14;
  column.heading("Cautions", kHeading, kPaperLead * kFine);
  for (const std::string& words : sheet.cautions) {
    column.paragraph(words, kFine);
    column.y += 1;
  }
  if (letters_changed(sheet)) {
    column.paragraph(
        "Letters that this page cannot show stand in Latin ones or as [U+number]: the screen has the names as they "
        "are stored.",
        kFine);
  }
}

/// The tables that may stand at the right, those that have room there below everything else.
std::vector<const SheetTable*> draw_right(Paper& paper, const TheatreSheet& sheet, float top) {
  const float y = draw_bite(paper, sheet.bite, draw_views(paper, sheet, draw_label_box(paper, top)));
  PaperColumn column{paper, kRightX, kRightColumn, y, 0, kNextPageTop + kLabel + kFilledIn + 4};
  draw_signatures(column, sheet);
  column.y += 4;
  std::vector<const SheetTable*> taken;
  for (const SheetTable& table : sheet.tables) {
    if (!table.narrow || column.page > 0) continue;
    PaperColumn tried = column;
    paper.trial(true);
    draw_table(tried, table, kNarrow);
    paper.trial(false);
    if (tried.page > 0) continue;
    draw_table(column, table, kNarrow);
    taken.push_back(&table);
  }
  return taken;
}

/// Every page says whose it is, where there are several.
void draw_page_marks(Paper& paper, const TheatreSheet& sheet) {
  if (paper.pages() < 2) return;
  for (std::size_t page = 0; page < paper.pages(); ++page) {
    paper.turn_to(page);
    const std::string mark = "page " + std::to_string(page + 1) + " of " + std::to_string(paper.pages());
    paper.line(kPaperWidth - kPaperEdge - paper.width_of(mark, kText, true), kPaperHeight - kPaperEdge + 4, mark, kText,
               true);
    if (page == 0) continue;
    draw_label_box(paper, kNextPageTop);
    paper.line(kPaperEdge, kPaperEdge - 4,
               "Movement sheet, continued    Case " + sheet.case_id + "    Plan " + sheet.plan, kHeading, true,
               kPaperWidth - 2 * kPaperEdge);
    paper.line(kPaperEdge, kPaperEdge - 4 + kPaperLead * kHeading, "Plan's fingerprint (SHA-256) " + sheet.digest,
               kSmall, false, kPaperWidth - 2 * kPaperEdge);
  }
}

HPDF_Date date_of(const std::string& text) {
  const Date date = parse_date(text).value_or(Date{2000, 1, 1});
  return {date.year, date.month, date.day, 0, 0, 0, 'Z', 0, 0};
}

}  // namespace

std::string sheet_checked_words(const TheatreSheet& sheet) {
  return "Checked by: " +
         (sheet.checked_by.empty() ? std::string("nobody yet - not for use on a patient") : sheet.checked_by);
}

Result<std::vector<std::uint8_t>> sheet_pdf(const TheatreSheet& sheet) {
  Fault fault;
  const HPDF_Doc doc = HPDF_New(note_fault, &fault);
  if (!doc) return Error{"there is no memory for the sheet", "", ""};
  std::vector<std::uint8_t> bytes;
  HPDF_SetInfoAttr(doc, HPDF_INFO_TITLE,
                   sheet_letters("Movement sheet, case " + sheet.case_id + ", plan " + sheet.plan).c_str());
  HPDF_SetInfoDateAttr(doc, HPDF_INFO_CREATION_DATE, date_of(sheet.date));
  Paper paper(doc);
  const float top = draw_top(paper, sheet);
  const std::vector<const SheetTable*> at_right = draw_right(paper, sheet, top);
  draw_left(paper, sheet, top, fitting_scale(paper, sheet, top, at_right), at_right);
  draw_page_marks(paper, sheet);
  if (HPDF_SaveToStream(doc) == HPDF_OK) {
    bytes.resize(HPDF_GetStreamSize(doc));
    HPDF_UINT32 size = static_cast<HPDF_UINT32>(bytes.size());
    HPDF_ReadFromStream(doc, bytes.data(), &size);
    bytes.resize(size);
  }
  HPDF_Free(doc);
  if (fault.error != 0 || bytes.empty()) {
    return Error{"the sheet's PDF could not be written (code " + std::to_string(fault.error) + ")", "", ""};
  }
  return bytes;
}

}  // namespace intercusp
