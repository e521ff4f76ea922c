// The middle of the bite card: the section through the measured incisors with overjet and overbite dimensioned on it.
#include <algorithm>
#include <cmath>

#include "app/panels/bite_card.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"

namespace intercusp {

namespace {

/// Section plane to pixels: forward to the right, up to the top.
struct Placing {
  Eigen::Vector2d middle = Eigen::Vector2d::Zero();
  float cx = 0, cy = 0, scale = 1;
  ImVec2 operator()(const Eigen::Vector2d& p) const {
    return {cx + static_cast<float>(p.x() - middle.x()) * scale, cy - static_cast<float>(p.y() - middle.y()) * scale};
  }
};

void lines(ImDrawList* list, const std::vector<FlatLine>& runs, const Placing& place, ImU32 colour, float width) {
  for (const FlatLine& run : runs) {
    list->PathClear();
    for (const Eigen::Vector2d& p : run) list->PathLineTo(place(p));
    list->PathStroke(colour, 0, width);
  }
}

// A dimension between two places along one axis, with end ticks.
void dimension(ImDrawList* list, ImVec2 a, ImVec2 b, ImU32 colour) {
  const float w = std::max(1.0f, px(1));
  const bool flat = std::abs(a.y - b.y) < 0.5f;
  const float e = px(4);
  list->AddLine(a, b, colour, 1.5f * w);
  for (const ImVec2& p : {a, b})
    flat ? list->AddLine({p.x, p.y - e}, {p.x, p.y + e}, colour, w)
         : list->AddLine({p.x - e, p.y}, {p.x + e, p.y}, colour, w);
}

void helper(ImDrawList* list, ImVec2 a, ImVec2 b) {
  list->AddLine(a, b, with_alpha(theme().soft, 0.55f), px(1));
}

Placing placing(const Rect& r, const BiteCardData& now) {
  Placing p;
  const IncisorSection& s = now.section;
  if (s.upper_edge && s.lower_edge) p.middle = 0.5 * (*s.upper_edge + *s.lower_edge);
  p.cx = r.x + 0.5f * r.w;
  p.cy = r.y + 0.5f * r.h;
  double extent = 9;  // mm each way, more when the edges are far apart
  if (s.upper_edge && s.lower_edge)
    extent = std::max(extent, 0.5 * (*s.upper_edge - *s.lower_edge).lpNorm<Eigen::Infinity>() + 6.0);
  p.middle.x() -= 1.5;  // the teeth lie behind their edges
  p.scale = 0.5f * std::min(r.w, r.h) / static_cast<float>(extent);
  return p;
}

void draw_overjet(ImDrawList* list, const Rect& r, const BiteCardData& now, const Placing& place, CardDoors& doors) {
  const IncisorSection& s = now.section;
  if (!s.upper_labial || !s.lower_labial || !now.overjet) return;
  const Theme& t = theme();
  const ImVec2 u = place(*s.upper_labial), l = place(*s.lower_labial);
  const float y = r.y + r.h - px(44);
  helper(list, u, {u.x, y});
  helper(list, l, {l.x, y});
  dimension(list, {u.x, y}, {l.x, y}, t.text);
  const std::string kind = *now.overjet < -0.005 ? "reverse overjet" : "overjet";
  const float cx = r.x + 0.5f * r.w;
  ui::put_text(list, fonts().strong, cx, y + px(6), t.text, amount(*now.overjet, 2) + " mm", 0.5f);
  ui::put_text(list, fonts().small, cx, y + px(24), t.soft, kind, 0.5f);
  doors.push_back({"overjet", {r.x, y - px(8), r.w, px(52)}});
}

void draw_overbite(ImDrawList* list, const Rect& r, const BiteCardData& now, const Placing& place, CardDoors& doors) {
  const IncisorSection& s = now.section;
  if (!s.upper_edge || !s.lower_edge || !now.overbite) return;
  const Theme& t = theme();
  const ImVec2 u = place(*s.upper_edge), l = place(*s.lower_edge);
  const float x = r.x + r.w - px(10);
  helper(list, u, {x, u.y});
  helper(list, l, {x, l.y});
  dimension(list, {x, u.y}, {x, l.y}, t.text);
  const bool open = *now.overbite < -0.005;
  ui::put_text(list, fonts().strong, r.x + r.w, r.y + px(2), t.text, amount(*now.overbite, 2) + " mm", 1);
  ui::put_text(list, fonts().small, r.x + r.w, r.y + px(20), t.soft, open ? "open bite" : "overbite", 1);
  doors.push_back({"overbite", {r.x + 0.4f * r.w, r.y, 0.6f * r.w, px(44)}});
}

}  // namespace

void draw_card_section(ImDrawList* list, const Rect& r, const BiteCardData& now, const BiteCardData* start,
                       CardDoors& doors) {
  const Theme& t = theme();
  const Rect drawing{r.x, r.y + px(42), r.w, r.h - px(94)};
  list->AddRectFilled({r.x, r.y}, {r.x + r.w, r.y + r.h}, mixed(t.panel, t.raised, 0.55f), px(8));
  if (now.section.pair.empty()) {
    ui::put_text(list, fonts().small, r.x + 0.5f * r.w, r.y + 0.45f * r.h, t.soft, "section not measurable", 0.5f);
    return;
  }
  const Placing place = placing(drawing, now);
  list->PushClipRect({drawing.x, drawing.y - px(4)}, {drawing.x + drawing.w, drawing.y + drawing.h + px(4)}, true);
  if (start) {
    lines(list, start->section.upper, place, with_alpha(t.upper, 0.45f), px(1));
    lines(list, start->section.lower, place, with_alpha(t.lower, 0.45f), px(1));
  }
  lines(list, now.section.upper, place, t.upper, std::max(1.5f, px(2)));
  lines(list, now.section.lower, place, t.lower, std::max(1.5f, px(2)));
  list->PopClipRect();
  ui::put_text(list, fonts().small, r.x + px(6), r.y + px(4), t.soft, now.section.pair);
  draw_overjet(list, r, now, place, doors);
  draw_overbite(list, r, now, place, doors);
}

}  // namespace intercusp
