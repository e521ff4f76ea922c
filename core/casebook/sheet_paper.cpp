#include "casebook/sheet_paper.h"

#include <algorithm>

#include "casebook/sheet_letters.h"

namespace intercusp {

Paper::Paper(HPDF_Doc doc) : doc_(doc) {
  plain_ = HPDF_GetFont(doc, "Helvetica", "WinAnsiEncoding");
  bold_ = HPDF_GetFont(doc, "Helvetica-Bold", "WinAnsiEncoding");
  take_page();
  page_ = pages_.front();
}

void Paper::take_page() {
  pages_.push_back(HPDF_AddPage(doc_));
  HPDF_Page_SetSize(pages_.back(), HPDF_PAGE_SIZE_A4, HPDF_PAGE_PORTRAIT);
}

void Paper::turn_to(std::size_t page) {
  if (trial_) return;
  while (pages_.size() <= page) take_page();
  page_ = pages_[page];
}

float Paper::width_of(const std::string& text, float size, bool bold) const {
  HPDF_Page_SetFontAndSize(page_, bold ? bold_ : plain_, size);
  return HPDF_Page_TextWidth(page_, sheet_letters(text).c_str());
}

void Paper::line(float x, float y, const std::string& text, float size, bool bold, float most) const {
  std::string letters = sheet_letters(text);
  HPDF_Page_SetFontAndSize(page_, bold ? bold_ : plain_, size);
  if (HPDF_Page_TextWidth(page_, letters.c_str()) > most) {
    while (!letters.empty() && HPDF_Page_TextWidth(page_, (letters + "...").c_str()) > most) letters.pop_back();
    letters += "...";
  }
  if (trial_) return;
  HPDF_Page_BeginText(page_);
  HPDF_Page_TextOut(page_, x, kPaperHeight - y - 0.8f * size, letters.c_str());
  HPDF_Page_EndText(page_);
}

namespace {

/// Whether a byte of UTF-8 goes on with the letter before it.
bool goes_on(char byte) {
  return (static_cast<unsigned char>(byte) & 0xC0) == 0x80;
}

}  // namespace

void Paper::split_word(std::string word, float size, float most, bool bold, std::vector<std::string>& lines) const {
  while (width_of(word, size, bold) > most) {
    std::size_t end = word.size();
    do {
      do {
        --end;
      } while (end > 1 && goes_on(word[end]));
    } while (end > 1 && width_of(word.substr(0, end), size, bold) > most);
    if (end == 0 || end == word.size()) break;
    lines.push_back(word.substr(0, end));
    word.erase(0, end);
  }
  lines.push_back(word);
}

std::vector<std::string> Paper::broken(const std::string& text, float size, float most, bool bold) const {
  std::vector<std::string> lines(1);
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t space = std::min(text.find(' ', at), text.size());
    const std::string word = text.substr(at, space - at),
                      longer = lines.back() + (lines.back().empty() ? "" : " ") + word;
    if (!lines.back().empty() && width_of(longer, size, bold) > most) {
      split_word(word, size, most, bold, lines);
    } else if (lines.back().empty()) {
      lines.pop_back();
      split_word(word, size, most, bold, lines);
    } else {
      lines.back() = longer;
    }
    at = space + 1;
  }
  return lines;
}

float Paper::paragraph(float x, float y, const std::string& text, float size, float most, bool bold) const {
  for (const std::string& words : broken(text, size, most, bold)) {
    line(x, y, words, size, bold, most);
    y += kPaperLead * size;
  }
  return y;
}

void Paper::rule(float x0, float y0, float x1, float y1, float weight) const {
  if (trial_) return;
  HPDF_Page_SetLineWidth(page_, weight);
  HPDF_Page_MoveTo(page_, x0, kPaperHeight - y0);
  HPDF_Page_LineTo(page_, x1, kPaperHeight - y1);
  HPDF_Page_Stroke(page_);
}

void Paper::frame(float x, float y, float width, float height, float weight) const {
  if (trial_) return;
  HPDF_Page_SetLineWidth(page_, weight);
  HPDF_Page_Rectangle(page_, x, kPaperHeight - y - height, width, height);
  HPDF_Page_Stroke(page_);
}

void Paper::dashes(bool on) const {
  if (trial_) return;
  const HPDF_UINT16 pattern[] = {2, 2};
  HPDF_Page_SetDash(page_, on ? pattern : nullptr, on ? 1 : 0, 0);
}

void Paper::path(const std::vector<Eigen::Vector2d>& points, float weight) const {
  if (trial_ || points.size() < 2) return;
  HPDF_Page_SetLineWidth(page_, weight);
  for (std::size_t i = 0; i < points.size(); ++i) {
    const auto x = static_cast<float>(points[i].x()), y = kPaperHeight - static_cast<float>(points[i].y());
    i == 0 ? HPDF_Page_MoveTo(page_, x, y) : HPDF_Page_LineTo(page_, x, y);
  }
  HPDF_Page_Stroke(page_);
}

void Paper::picture(const SheetView& view, float x, float y, float width, float height) const {
  if (trial_) return;
  const HPDF_Image image = HPDF_LoadRawImageFromMem(doc_, view.grey.data(), static_cast<HPDF_UINT>(view.width),
                                                    static_cast<HPDF_UINT>(view.height), HPDF_CS_DEVICE_GRAY, 8);
  if (image) HPDF_Page_DrawImage(page_, image, x, kPaperHeight - y - height, width, height);
}

void PaperColumn::room(float height) {
  if (y + height > kPaperFoot) {
    ++page;
    y = next_top;
  }
  paper.turn_to(page);
}

void PaperColumn::paragraph(const std::string& text, float size, bool bold, float indent) {
  for (const std::string& words : paper.broken(text, size, width - indent, bold)) {
    room(kPaperLead * size);
    paper.line(x + indent, y, words, size, bold, width - indent);
    y += kPaperLead * size;
  }
}

void PaperColumn::heading(const std::string& words, float size, float headed) {
  room(kPaperLead * size + 2 + headed);
  paper.line(x, y, words, size, true, width);
  y += kPaperLead * size;
  paper.rule(x, y, x + width, y, 0.6f);
  y += 2;
}

}  // namespace intercusp
