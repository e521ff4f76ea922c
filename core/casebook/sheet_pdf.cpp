// The sheet on one A4 page. Two columns: words and tables at the left, pictures and the bite at the right.
#include <algorithm>
#include <cmath>

#include <hpdf.h>

#include "base/calendar.h"
#include "casebook/sheet_parts.h"

namespace intercusp {

namespace {

constexpr float kWidth = 595.276f, kHeight = 841.89f;  // A4 in points
constexpr float kEdge = 28, kBetween = 12, kRightColumn = 186;
constexpr float kLeftWidth = kWidth - 2 * kEdge - kBetween - kRightColumn, kRightX = kWidth - kEdge - kRightColumn;
constexpr float kSmall = 6.4f, kText = 7.2f, kHeading = 8.4f, kTitle = 14;
constexpr float kLead = 1.22f;                       ///< line height over type size
constexpr float kLargest = 1.16f, kSmallest = 0.7f;  ///< of the left column's type

/// UTF-8 to the page's own Latin letters (code page 1252); what it does not have becomes "?".
std::string latin(const std::string& utf8) {
  std::string out;
  for (std::size_t i = 0; i < utf8.size(); ++i) {
    const auto c = static_cast<unsigned char>(utf8[i]);
    if (c < 0x80) {
      out += c < 0x20 ? ' ' : utf8[i];
      continue;
    }
    const int more = c >= 0xF0 ? 3 : c >= 0xE0 ? 2 : c >= 0xC0 ? 1 : 0;
    const bool whole = more == 1 && i + 1 < utf8.size();
    const unsigned code = whole ? (c & 0x1Fu) << 6 | (static_cast<unsigned char>(utf8[i + 1]) & 0x3Fu) : 0;
    out += code >= 0xA0 && code <= 0xFF ? static_cast<char>(code) : '?';
    i += static_cast<std::size_t>(more);
  }
  return out;
}

struct Fault {
  HPDF_STATUS error = 0, detail = 0;
};

void note_fault(HPDF_STATUS error, HPDF_STATUS detail, void* to) {
  *static_cast<Fault*>(to) = {error, detail};
}

/// The page and a place on it; y runs down from the upper edge.
class Paper {
 public:
  explicit Paper(HPDF_Doc doc) : doc_(doc), page_(HPDF_AddPage(doc)) {
    HPDF_Page_SetSize(page_, HPDF_PAGE_SIZE_A4, HPDF_PAGE_PORTRAIT);
    plain_ = HPDF_GetFont(doc, "Helvetica", "WinAnsiEncoding");
    bold_ = HPDF_GetFont(doc, "Helvetica-Bold", "WinAnsiEncoding");
  }

  float width_of(const std::string& text, float size, bool bold = false) const {
    HPDF_Page_SetFontAndSize(page_, bold ? bold_ : plain_, size);
    return HPDF_Page_TextWidth(page_, text.c_str());
  }

  /// One line with its top at y; cut with dots where it is wider than `most`.
  void line(float x, float y, std::string text, float size, bool bold = false, float most = 1000) const {
    text = latin(text);
    if (width_of(text, size, bold) > most) {
      while (!text.empty() && width_of(text + "...", size, bold) > most) text.pop_back();
      text += "...";
    }
    if (trial_) return;
    HPDF_Page_SetFontAndSize(page_, bold ? bold_ : plain_, size);
    HPDF_Page_BeginText(page_);
    HPDF_Page_TextOut(page_, x, kHeight - y - 0.8f * size, text.c_str());
    HPDF_Page_EndText(page_);
  }

  /// Broken into lines of at most `most`.
  std::vector<std::string> broken(const std::string& text, float size, float most, bool bold) const {
    std::vector<std::string> lines(1);
    std::size_t at = 0;
    while (at < text.size()) {
      const std::size_t space = std::min(text.find(' ', at), text.size());
      const std::string word = text.substr(at, space - at),
                        longer = lines.back() + (lines.back().empty() ? "" : " ") + word;
      if (!lines.back().empty() && width_of(latin(longer), size, bold) > most) {
        lines.push_back(word);
      } else {
        lines.back() = longer;
      }
      at = space + 1;
    }
    return lines;
  }

  /// In lines of at most `most`; returns where the next may begin.
  float paragraph(float x, float y, const std::string& text, float size, float most, bool bold = false) const {
    for (const std::string& words : broken(text, size, most, bold)) {
      line(x, y, words, size, bold, most);
      y += kLead * size;
    }
    return y;
  }

  /// While on, words and rules take their place and leave no trace.
  void trial(bool on) { trial_ = on; }

  void rule(float x0, float y0, float x1, float y1, float weight = 0.4f) const {
    if (trial_) return;
    HPDF_Page_SetLineWidth(page_, weight);
    HPDF_Page_MoveTo(page_, x0, kHeight - y0);
    HPDF_Page_LineTo(page_, x1, kHeight - y1);
    HPDF_Page_Stroke(page_);
  }

  void frame(float x, float y, float width, float height, float weight) const {
    HPDF_Page_SetLineWidth(page_, weight);
    HPDF_Page_Rectangle(page_, x, kHeight - y - height, width, height);
    HPDF_Page_Stroke(page_);
  }

  void dashes(bool on) const {
    const HPDF_UINT16 pattern[] = {2, 2};
    HPDF_Page_SetDash(page_, on ? pattern : nullptr, on ? 1 : 0, 0);
  }

  void path(const std::vector<Eigen::Vector2d>& points, float weight) const {
    if (points.size() < 2) return;
    HPDF_Page_SetLineWidth(page_, weight);
    for (std::size_t i = 0; i < points.size(); ++i) {
      const auto x = static_cast<float>(points[i].x()), y = kHeight - static_cast<float>(points[i].y());
      i == 0 ? HPDF_Page_MoveTo(page_, x, y) : HPDF_Page_LineTo(page_, x, y);
    }
    HPDF_Page_Stroke(page_);
  }

  void picture(const SheetView& view, float x, float y, float width, float height) const {
    const HPDF_Image image = HPDF_LoadRawImageFromMem(doc_, view.grey.data(), static_cast<HPDF_UINT>(view.width),
                                                      static_cast<HPDF_UINT>(view.height), HPDF_CS_DEVICE_GRAY, 8);
    if (image) HPDF_Page_DrawImage(page_, image, x, kHeight - y - height, width, height);
  }

 private:
  HPDF_Doc doc_;
  HPDF_Page page_;
  HPDF_Font plain_, bold_;
  bool trial_ = false;
};

float draw_heading(const Paper& paper, float x, float y, const std::string& words, float width, float scale = 1) {
  const float size = scale * kHeading;
  paper.line(x, y, words, size, true, width);
  paper.rule(x, y + kLead * size, x + width, y + kLead * size, 0.6f);
  return y + kLead * size + 2;
}

/// Cells are broken into lines; the row is as high as its highest.
float draw_row(const Paper& paper, const SheetTable& table, const std::vector<std::string>& row, float y, bool bold,
               float size) {
  float at = kEdge, next = y;
  for (std::size_t i = 0; i < row.size(); ++i) {
    const auto width = static_cast<float>(table.shares[i]) * kLeftWidth;
    next = std::max(next, paper.paragraph(at, y, row[i], size, width - 3, bold || row[i] == "CONTACT"));
    at += width;
  }
  return next;
}

float draw_table(const Paper& paper, const SheetTable& table, float y, float scale) {
  const float size = scale * kSmall;
  y = draw_heading(paper, kEdge, y, table.title, kLeftWidth, scale);
  if (!table.head.empty() && !table.rows.empty()) y = draw_row(paper, table, table.head, y, true, size);
  for (const auto& row : table.rows) y = draw_row(paper, table, row, y, false, size);
  for (const std::string& note : table.notes) y = paper.paragraph(kEdge, y, note, size, kLeftWidth);
  return y + 3.5f * scale;
}

std::string checked_words(const TheatreSheet& sheet) {
  return "Checked by: " +
         (sheet.checked_by.empty() ? std::string("nobody yet - not for use on a patient") : sheet.checked_by);
}

float draw_top(const Paper& paper, const TheatreSheet& sheet) {
  float y = kEdge - 4;
  paper.line(kEdge, y, "Movement sheet", kTitle, true);
  paper.line(kRightX, y + 2, checked_words(sheet), kText, true, kRightColumn);
  paper.line(kRightX, y + 2 + kLead * kText, "Made on " + sheet.date, kText, false, kRightColumn);
  y += kLead * kTitle;
  paper.line(kEdge, y, "Case " + sheet.case_id + "    Plan " + sheet.plan, kHeading, true, kLeftWidth);
  y += kLead * kHeading;
  paper.line(kEdge, y, "Plan's fingerprint (SHA-256) " + sheet.digest, kSmall, false, kWidth - 2 * kEdge);
  y += kLead * kSmall + 1;
  paper.rule(kEdge, y, kWidth - kEdge, y, 1);
  return y + 4;
}

// A bar beside the lines marks them without colour.
float draw_warnings(const Paper& paper, const TheatreSheet& sheet, float y, float scale) {
  y = draw_heading(paper, kEdge, y, "Watch first", kLeftWidth, scale);
  const float from = y;
  for (const std::string& words : sheet.warnings)
    y = paper.paragraph(kEdge + 7, y, words, scale * kText, kLeftWidth - 7, true);
  paper.rule(kEdge + 1.5f, from, kEdge + 1.5f, y - 1, 2.5f);
  return y + 3.5f * scale;
}

float draw_left(const Paper& paper, const TheatreSheet& sheet, float y, float scale) {
  y = draw_warnings(paper, sheet, y, scale);
  for (const std::string& sentence : sheet.movements) {
    y = paper.paragraph(kEdge, y, sentence, scale * kHeading, kLeftWidth, true);
  }
  y = paper.paragraph(kEdge, y + 1, "Staging. " + sheet.staging, scale * kText, kLeftWidth) + 2;
  for (const SheetTable& table : sheet.tables) y = draw_table(paper, table, y, scale);
  return y;
}

/// The largest type with which the left column fits the page.
float fitting_scale(Paper& paper, const TheatreSheet& sheet, float top) {
  paper.trial(true);
  float scale = kLargest;
  while (scale > kSmallest && draw_left(paper, sheet, top, scale) > kHeight - kEdge) scale -= 0.02f;
  paper.trial(false);
  return scale;
}

float draw_views(const Paper& paper, const TheatreSheet& sheet, float y) {
  const float width = 0.5f * (kRightColumn - 6);
  y = draw_heading(paper, kRightX, y, "Planned position", kRightColumn);
  float row_height = 0;
  for (std::size_t i = 0; i < sheet.views.size(); ++i) {
    const SheetView& view = sheet.views[i];
    const float height = width * static_cast<float>(view.height) / static_cast<float>(view.width);
    const float x = kRightX + (i % 2 == 0 ? 0 : width + 6);
    paper.picture(view, x, y, width, height);
    paper.frame(x, y, width, height, 0.3f);
    paper.line(x, y + height + 1, view.words, kSmall, false, width);
    row_height = height + kLead * kSmall + 4;
    if (i % 2 == 1) y += row_height;
  }
  if (sheet.views.size() % 2 == 1) y += row_height;
  return paper.paragraph(kRightX, y - 2, "Light: stays. Dark: moves. Dotted: where the moved parts stood.", kSmall,
                         kRightColumn) +
         3;
}

float draw_section(const Paper& paper, const SheetBite& bite, float y) {
  constexpr float kBox = 108;
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
  const float line_y = y + kLead * kSmall + 6, middle = x + 0.5f * width, unit = 0.4f * width;
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
  if (r.mm_before) {
    paper.dashes(true);
    paper.rule(place(*r.mm_before), line_y, place(*r.mm_before), line_y - 5, 0.5f);
    paper.dashes(false);
  }
  if (r.mm) paper.rule(place(*r.mm), line_y, place(*r.mm), line_y - 5, 1.4f);
  return line_y + 8;
}

float draw_bite(const Paper& paper, const SheetBite& bite, float y) {
  y = draw_heading(paper, kRightX, y, "The bite, planned (dashed: before)", kRightColumn);
  const auto midline = [](const char* name, const std::optional<double>& mm) {
    return std::string(name) + (mm ? towards(*mm, "to the left", "to the right", 2) : "not measurable");
  };
  paper.line(kRightX, y, midline("Upper midline to the face, by the records: ", bite.midline_upper_face), kSmall, false,
             kRightColumn);
  y += kLead * kSmall;
  paper.line(kRightX, y, midline("Lower midline to the face, by the records: ", bite.midline_lower_face), kSmall, false,
             kRightColumn);
  y += kLead * kSmall;
  paper.line(kRightX, y, midline("Upper midline to the lower: ", bite.midline), kSmall, false, kRightColumn);
  y += kLead * kSmall + 2;
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
    const float row_y = y + (r.name == "canine" ? 0.0f : 24.0f);
    next = std::max(next, draw_relation(paper, r, x, row_y, width));
  }
  const int right = bite.contacts_right;
  paper.line(kRightX, next,
             "Arches touch or overlap in " + counted(static_cast<std::size_t>(bite.contacts), "place") + " (right " +
                 std::to_string(right) + ", left " + std::to_string(bite.contacts - right) + ").",
             kSmall, false, kRightColumn);
  return next + kLead * kSmall + 4;
}

void draw_signatures(const Paper& paper, const TheatreSheet& sheet, float y) {
  y = draw_heading(paper, kRightX, y, "Agreed and checked", kRightColumn);
  for (const std::string& words : sheet.agreed) y = paper.paragraph(kRightX, y, words, kSmall, kRightColumn);
  paper.line(kRightX, y, checked_words(sheet), kSmall, true, kRightColumn);
  y += kLead * kSmall + 12;
  paper.rule(kRightX, y, kRightX + kRightColumn, y);
  paper.line(kRightX, y + 1, "signature, date", kSmall);
  y = draw_heading(paper, kRightX, y + 14, "Cautions", kRightColumn);
  for (const std::string& words : sheet.cautions) y = paper.paragraph(kRightX, y, words, kSmall, kRightColumn) + 1;
}

HPDF_Date date_of(const std::string& text) {
  const Date date = parse_date(text).value_or(Date{2000, 1, 1});
  return {date.year, date.month, date.day, 0, 0, 0, 'Z', 0, 0};
}

}  // namespace

Result<std::vector<std::uint8_t>> sheet_pdf(const TheatreSheet& sheet) {
  Fault fault;
  const HPDF_Doc doc = HPDF_New(note_fault, &fault);
  if (!doc) return Error{"there is no memory for the sheet", "", ""};
  std::vector<std::uint8_t> bytes;
  HPDF_SetInfoAttr(doc, HPDF_INFO_TITLE,
                   latin("Movement sheet, case " + sheet.case_id + ", plan " + sheet.plan).c_str());
  HPDF_SetInfoDateAttr(doc, HPDF_INFO_CREATION_DATE, date_of(sheet.date));
  Paper paper(doc);
  const float top = draw_top(paper, sheet);
  draw_left(paper, sheet, top, fitting_scale(paper, sheet, top));
  draw_signatures(paper, sheet, draw_bite(paper, sheet.bite, draw_views(paper, sheet, top)));
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
