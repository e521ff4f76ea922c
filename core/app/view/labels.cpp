#include "app/view/labels.h"

#include <algorithm>
#include <cmath>
#include <optional>

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

}  // namespace

void Labels::add(ImVec2 point, const std::string& words, ImU32 colour, bool strong) {
  labels_.push_back({point, words, colour, strong});
  taken_.push_back({point.x - px(4), point.y - px(4), px(8), px(8)});
}

void Labels::draw(ImDrawList* list) {
  for (const Label& label : labels_) {
    ImFont* font = label.strong ? fonts().strong : fonts().small;
    const float w = ui::text_width(font, label.words) + px(12), h = font->FontSize + px(6);
    std::optional<Rect> place;
    for (float reach = px(26); reach <= px(110) && !place; reach += px(14)) {
      for (int turn = 0; turn < 12 && !place; ++turn) {
        const float a = static_cast<float>(kPi) * (turn * 5 % 12) / 6 - 0.8f;
        const ImVec2 c{label.point.x + (reach + 0.35f * w) * std::cos(a), label.point.y + reach * std::sin(a)};
        const Rect r{std::floor(c.x - 0.5f * w), std::floor(c.y - 0.5f * h), w, h};
        if (!inside(r, view_)) continue;
        if (std::none_of(taken_.begin(), taken_.end(), [&](const Rect& t) { return cross(t, r); })) place = r;
      }
    }
    if (!place) continue;
    taken_.push_back(*place);
    const Rect& r = *place;
    const ImVec2 end{std::clamp(label.point.x, r.x, r.x + r.w), std::clamp(label.point.y, r.y, r.y + r.h)};
    list->AddLine(label.point, end, theme().soft, std::max(1.0f, px(1)));
    list->AddRectFilled({r.x, r.y}, {r.x + r.w, r.y + r.h}, with_alpha(theme().panel, 0.92f), px(4));
    ui::put_text(list, font, r.x + px(6), r.y + px(3), label.colour, label.words);
  }
}

}  // namespace intercusp
