#include "app/view/labels.h"

#include <algorithm>
#include <cmath>

#include "app/theme.h"
#include "app/widgets/widgets.h"

namespace intercusp {

namespace {

bool cross(const Rect& a, const Rect& b) {
  return a.x < b.x + b.w && b.x < a.x + a.w && a.y < b.y + b.h && b.y < a.y + a.h;
}

bool inside(const Rect& a, const Rect& outer) {
  return a.x >= outer.x && a.y >= outer.y && a.x + a.w <= outer.x + outer.w && a.y + a.h <= outer.y + outer.h;
}

// Whether a stretch runs through a rectangle: what is left of it between each pair of sides (Liang and Barsky 1984).
bool runs_through(ImVec2 a, ImVec2 b, const Rect& r) {
  float from = 0, to = 1;
  const auto within = [&](float start, float step, float low, float high) {
    if (std::abs(step) < 1e-6f) return start >= low && start <= high;
    const float t0 = (low - start) / step, t1 = (high - start) / step;
    from = std::max(from, std::min(t0, t1));
    to = std::min(to, std::max(t0, t1));
    return from <= to;
  };
  return within(a.x, b.x - a.x, r.x, r.x + r.w) && within(a.y, b.y - a.y, r.y, r.y + r.h);
}

ImVec2 leader_end(ImVec2 point, const Rect& r) {
  return {std::clamp(point.x, r.x, r.x + r.w), std::clamp(point.y, r.y, r.y + r.h)};
}

}  // namespace

void Labels::add(ImVec2 point, const std::string& words, ImU32 colour, bool strong) {
  labels_.push_back({point, words, colour, strong});
  taken_.push_back({point.x - px(4), point.y - px(4), px(8), px(8)});
}

std::optional<Rect> Labels::place_of(const Label& label, float w, float h) const {
  const auto free = [&](const Rect& r) {
    const ImVec2 end = leader_end(label.point, r);
    return inside(r, view_) && std::none_of(taken_.begin(), taken_.end(), [&](const Rect& t) { return cross(t, r); }) &&
           std::none_of(written_.begin(), written_.end(),
                        [&](const Rect& t) { return runs_through(label.point, end, t); }) &&
           std::none_of(leaders_.begin(), leaders_.end(),
                        [&](const Leader& l) { return runs_through(l.from, l.to, r); });
  };
  for (float reach = px(26); reach <= px(110); reach += px(14)) {
    for (int turn = 0; turn < 12; ++turn) {
      const float a = static_cast<float>(kPi) * (turn * 5 % 12) / 6 - 0.8f;
      const ImVec2 c{label.point.x + (reach + 0.35f * w) * std::cos(a), label.point.y + reach * std::sin(a)};
      const Rect r{std::floor(c.x - 0.5f * w), std::floor(c.y - 0.5f * h), w, h};
      if (free(r)) return r;
    }
  }
  return std::nullopt;
}

void Labels::draw(ImDrawList* list) {
  for (const Label& label : labels_) {
    ImFont* font = label.strong ? fonts().strong : fonts().small;
    const float w = ui::text_width(font, label.words) + px(12), h = font->FontSize + px(6);
    const std::optional<Rect> place = place_of(label, w, h);
    if (!place) continue;
    taken_.push_back(*place);
    written_.push_back(*place);
    const Rect& r = *place;
    leaders_.push_back({label.point, leader_end(label.point, r)});
    list->AddLine(leaders_.back().from, leaders_.back().to, theme().soft, std::max(1.0f, px(1)));
    list->AddRectFilled({r.x, r.y}, {r.x + r.w, r.y + r.h}, with_alpha(theme().panel, 0.92f), px(4));
    ui::put_text(list, font, r.x + px(6), r.y + px(3), label.colour, label.words);
  }
}

}  // namespace intercusp
