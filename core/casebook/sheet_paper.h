// The paper that the sheet is drawn on: pages, words, lines and pictures. Within this room only.
#pragma once

#include <string>
#include <vector>

#include <hpdf.h>

#include "casebook/sheet.h"

namespace intercusp {

constexpr float kPaperWidth = 595.276f, kPaperHeight = 841.89f;  // A4 in points
constexpr float kPaperEdge = 28;
constexpr float kPaperLead = 1.18f;  ///< line height over type size

/// Pages and a place on the one turned to; y runs down from the upper edge.
class Paper {
 public:
  explicit Paper(HPDF_Doc doc);

  /// Turns to a page, from 0, and takes new ones where there are none yet.
  void turn_to(std::size_t page);
  std::size_t pages() const { return pages_.size(); }

  float width_of(const std::string& text, float size, bool bold = false) const;
  /// One line with its top at y; cut with dots where it is wider than `most`.
  void line(float x, float y, const std::string& text, float size, bool bold = false, float most = 1000) const;
  /// Broken into lines of at most `most`, between words where that can be.
  std::vector<std::string> broken(const std::string& text, float size, float most, bool bold) const;
  /// In lines of at most `most`; returns where the next may begin.
  float paragraph(float x, float y, const std::string& text, float size, float most, bool bold = false) const;
  void rule(float x0, float y0, float x1, float y1, float weight = 0.4f) const;
  void frame(float x, float y, float width, float height, float weight) const;
  void dashes(bool on) const;
  void path(const std::vector<Eigen::Vector2d>& points, float weight) const;
  void picture(const SheetView& view, float x, float y, float width, float height) const;

  /// While on, words and rules take their place and leave no trace, and no page is taken.
  void trial(bool on) { trial_ = on; }

 private:
  void take_page();
  /// A word as lines: where it is wider than one, between letters.
  void split_word(std::string word, float size, float most, bool bold, std::vector<std::string>& lines) const;
  HPDF_Doc doc_;
  std::vector<HPDF_Page> pages_;
  HPDF_Page page_ = nullptr;  ///< turned to
  HPDF_Font plain_, bold_;
  bool trial_ = false;
};

constexpr float kPaperFoot = kPaperHeight - kPaperEdge;
constexpr float kNextPageTop = kPaperEdge + 18;  ///< below the line that names the sheet again

/// Where words run down one column, and on at the head of the next page: nothing is drawn below a page's foot.
struct PaperColumn {
  Paper& paper;
  float x = 0, width = 0, y = 0;
  std::size_t page = 0;
  float next_top = kNextPageTop;  ///< where it begins on the pages that follow

  /// Goes on to the next page where this much has no room above the foot.
  void room(float height);
  void paragraph(const std::string& text, float size, bool bold = false, float indent = 0);
  /// With a rule below; keeps room for what it heads.
  void heading(const std::string& words, float size, float headed);
};

}  // namespace intercusp
