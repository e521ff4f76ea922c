// The foot of the bite card: what each tooth touches, and which side carries more.
#include <algorithm>
#include <cmath>

#include "anatomy/notation.h"
#include "app/panels/bite_card.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"

namespace intercusp {

namespace {

constexpr double kFullMm2 = 18;   // a bar as long as there is room
constexpr double kNearMm = 0.35;  // farther apart, nothing is said to touch

// Teeth from the patient's right to left as one looks at the patient.
int tooth_in_slot(int slot, bool upper) {
  const int position = slot < 7 ? 7 - slot : slot - 6;
  return (slot < 7 ? (upper ? 10 : 40) : (upper ? 20 : 30)) + position;
}

void bar(ImDrawList* list, const Rect& slot, const ToothContact* contact, bool up) {
  if (!contact) return;
  const Theme& t = theme();
  const bool overlap = contact->least_gap_mm < -0.1;
  const float share = std::sqrt(static_cast<float>(contact->area_mm2 / kFullMm2));
  const float h = std::min(px(3) + (slot.h - px(3)) * share, slot.h);
  const float base = up ? slot.y + slot.h : slot.y;
  const ImVec2 a{slot.x + px(2), up ? base - h : base}, b{slot.x + slot.w - px(2), up ? base : base + h};
  list->AddRectFilled(a, b, overlap ? t.overlap : t.usual, px(1));
  if (overlap) ui::hatch(list, a, b, with_alpha(t.panel, 0.55f), px(4));
}

void mark(ImDrawList* list, float cx, float cy, char kind) {
  const Theme& t = theme();
  const float e = px(3), w = std::max(1.0f, px(1.5f));
  if (kind == 'x') {
    list->AddLine({cx - e, cy - e}, {cx + e, cy + e}, t.overlap_text, w);
    list->AddLine({cx - e, cy + e}, {cx + e, cy - e}, t.overlap_text, w);
  } else {
    list->AddCircle({cx, cy}, e, t.gap_text, 12, w);
  }
}

// "16 on 46": the teeth that are nearest to each other, or deepest in each other; empty where nothing is near.
std::string touches_first(const BiteCardData& now) {
  int upper = 0, lower = 0;
  double upper_gap = kNearMm, lower_gap = kNearMm;
  for (const auto& [tooth, contact] : now.teeth) {
    double& gap = is_upper(tooth) ? upper_gap : lower_gap;
    if (contact.least_gap_mm >= gap) continue;
    gap = contact.least_gap_mm;
    (is_upper(tooth) ? upper : lower) = tooth;
  }
  return upper && lower ? std::to_string(upper) + " on " + std::to_string(lower) : "";
}

// In as many words as there is room for.
std::string legend(const BiteCardData& now, const char* before_first, const char* gap) {
  bool crossed = false, open = false;
  for (const auto& [tooth, kind] : now.marks) (kind == 'x' ? crossed : open) = true;
  std::string words;
  if (now.right_share) {
    const long right = std::lround(*now.right_share * 100);
    words = "right " + std::to_string(right) + "%" + gap + "left " + std::to_string(100 - right) + "%";
  } else {
    words = "no tooth touches";
  }
  const std::string first = touches_first(now);
  if (!first.empty()) words += std::string(gap) + before_first + first;
  if (crossed) words += std::string(gap) + "\xC3\x97 crossed";
  if (open) words += std::string(gap) + "o open";
  return words;
}

}  // namespace

void draw_card_contacts(ImDrawList* list, const Rect& r, const BiteCardData& now) {
  const Theme& t = theme();
  const float slot = r.w / 14, middle = r.y + px(31), band = px(11), bars = px(17);
  for (int i = 0; i < 14; ++i) {
    const float x = r.x + slot * static_cast<float>(i), cx = x + 0.5f * slot;
    const int upper = tooth_in_slot(i, true), lower = tooth_in_slot(i, false);
    const auto find = [&](int tooth) {
      const auto found = now.teeth.find(tooth);
      return found == now.teeth.end() ? nullptr : &found->second;
    };
    bar(list, {x, middle - band - bars, slot, bars}, find(upper), true);
    bar(list, {x, middle + band, slot, bars}, find(lower), false);
    ui::put_text(list, fonts().small, cx, middle - 0.5f * fonts().small->FontSize, t.soft,
                 std::to_string(position(upper)), 0.5f);
    const auto m = now.marks.find(upper);
    if (m != now.marks.end()) mark(list, cx, middle - band - px(4), m->second);
  }
  const float cx = std::floor(r.x + 0.5f * r.w);
  list->AddLine({cx, middle - px(27)}, {cx, middle + px(27)}, t.line, px(1));
  std::string words = legend(now, "touches first ", "   ");
  for (const auto& [before, gap] : {std::pair{"first ", "   "}, std::pair{"first ", "  "}, std::pair{"", "  "}})
    if (ui::text_width(fonts().small, words) > r.w) words = legend(now, before, gap);
  ui::put_text(list, fonts().small, cx, r.y + px(63), t.text, words, 0.5f);
}

}  // namespace intercusp
