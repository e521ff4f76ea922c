#include "app/panels/bite_card.h"

#include <algorithm>
#include <cmath>

#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"

namespace intercusp {

namespace {

constexpr float kMidlineBand = 58, kMiddleBand = 182, kContactBand = 76, kColumn = 88;

void soft(ImDrawList* list, float x, float y, const std::string& words, float align) {
  ui::put_text(list, fonts().small, x, y, theme().soft, words, align);
}

}  // namespace

float card_height() {
  return px(kMidlineBand + kMiddleBand + kContactBand);
}

void draw_card_midlines(ImDrawList* list, const Rect& r, const BiteCardData& now, const BiteCardData* start,
                        CardDoors& doors) {
  const Theme& t = theme();
  const float cx = std::floor(r.x + 0.5f * r.w), y = r.y + px(22), mm = px(9), reach = px(64);
  soft(list, r.x, r.y, "patient's right", 0);
  soft(list, r.x + r.w, r.y, "patient's left", 1);
  list->AddLine({cx - reach, y}, {cx + reach, y}, t.line, px(1));
  for (int i = -6; i <= 6; ++i) list->AddLine({cx + i * mm, y - px(2)}, {cx + i * mm, y + px(2)}, t.line, px(1));
  // The face when it is known, else the lower midline is the reference.
  const double lower = now.lower_face.value_or(0), upper = now.upper_face.value_or(lower + now.midline.value_or(0));
  if (now.upper_face || now.lower_face) list->AddLine({cx, y - px(12)}, {cx, y + px(12)}, t.soft, px(1));
  const auto at = [&](double v) { return cx + std::clamp(static_cast<float>(v) * mm, -reach, reach); };
  const auto tick = [&](double v, bool up, ImU32 colour, bool filled) {
    if (std::abs(v) * mm > reach)
      return ui::beyond_mark(list, up ? "midline_upper" : "midline_lower", {at(v), up ? y - px(6) : y + px(6)},
                             v > 0 ? 1 : -1, colour, filled);
    const float x = at(v), tip = y, base = up ? y - px(11) : y + px(11);
    const ImVec2 a{x, tip}, b{x - px(5), base}, c{x + px(5), base};
    filled ? list->AddTriangleFilled(a, b, c, colour) : list->AddTriangle(a, b, c, colour, px(1));
  };
  if (now.midline && start && start->midline) {
    const double base = start->lower_face.value_or(0);
    tick(start->upper_face.value_or(base + *start->midline), true, with_alpha(t.upper, 0.7f), false);
    tick(base, false, with_alpha(t.lower, 0.7f), false);
  }
  if (now.midline) {
    tick(upper, true, t.upper, true);
    tick(lower, false, t.lower, true);
  }
  const bool together = now.midline && std::abs(*now.midline) < 0.005;
  const std::string words = !now.midline ? "midlines not measurable"
                            : together   ? "midlines coincident"
                                         : "upper midline " + sideways_words(*now.midline);
  ui::put_text(list, fonts().small, cx, y + px(15), now.midline ? t.text : t.soft, words, 0.5f);
  doors.push_back({"midline_upper_lower", r});
}

void draw_card_ruler(ImDrawList* list, const Rect& r, const char* name, const std::string& id, const SideReading& now,
                     const SideReading* start, int front, CardDoors& doors) {
  const Theme& t = theme();
  const float cx = std::floor(r.x + 0.5f * r.w), y = r.y + px(44), half = 0.5f * r.w - px(4);
  const float unit = half / 5;  // quarter units: five each way
  soft(list, cx, r.y, name, 0.5f);
  // Class II lies towards the front of the upper arch, Class III behind.
  const float high = r.y + fonts().small->FontSize - fonts().tiny->FontSize - px(1);
  ui::put_text(list, fonts().tiny, cx - half, high, t.soft, front > 0 ? "III" : "II");
  ui::put_text(list, fonts().tiny, cx + half, high, t.soft, front > 0 ? "II" : "III", 1);
  list->AddRectFilled({cx - 0.5f * unit, y - px(8)}, {cx + 0.5f * unit, y + px(8)}, with_alpha(t.usual, 0.30f), px(2));
  list->AddLine({cx - half, y}, {cx + half, y}, t.soft, px(1));
  for (int i = -5; i <= 5; ++i) {
    const float h = i % 4 == 0 ? px(5) : px(3);
    list->AddLine({cx + i * unit, y}, {cx + i * unit, y + h}, t.soft, px(1));
  }
  const auto mark = [&](const SideReading& reading, ImU32 colour, bool filled) {
    const float off = static_cast<float>(front) * static_cast<float>(4 * *reading.mm / reading.unit_mm) * unit;
    const float x = cx + std::clamp(off, -half, half);
    const ImVec2 tip{x, y - px(1)}, a{x - px(5), y - px(11)}, b{x + px(5), y - px(11)};
    if (std::abs(off) > half + 0.5f)
      ui::beyond_mark(list, id, {x, y - px(6)}, off > 0 ? 1 : -1, colour, filled);
    else
      filled ? list->AddTriangleFilled(tip, a, b, colour) : list->AddTriangle(tip, a, b, colour, px(1));
  };
  if (start && start->mm) mark(*start, with_alpha(t.upper, 0.75f), false);
  doors.push_back({id, r});
  if (!now.mm) {
    soft(list, cx, y + px(10), "not measurable", 0.5f);
    return;
  }
  mark(now, t.upper, true);
  std::string words = "Class " + now.relation;
  if (now.probability < 0.9) words += " " + std::to_string(std::lround(now.probability * 100)) + "%";
  ui::put_text(list, fonts().small_strong, cx, r.y + px(16), t.text, words, 0.5f);
  soft(list, cx, y + px(9), amount(*now.mm, 2) + " mm", 0.5f);
}

CardDoors draw_bite_card(ImDrawList* list, const Rect& rect, const BiteCardData& now, const BiteCardData* start) {
  CardDoors doors;
  const float column = px(kColumn), middle = px(kMiddleBand);
  draw_card_midlines(list, {rect.x, rect.y, rect.w, px(kMidlineBand) - px(8)}, now, start, doors);
  const float y = rect.y + px(kMidlineBand);
  const float left = rect.x, right = rect.x + rect.w - column, ruler = px(80), next = px(87);
  draw_card_ruler(list, {left, y + px(8), column, ruler}, "canine", "canine_right", now.canine_right,
                  start ? &start->canine_right : nullptr, 1, doors);
  draw_card_ruler(list, {left, y + px(8) + next, column, ruler}, "molar", "molar_right", now.molar_right,
                  start ? &start->molar_right : nullptr, 1, doors);
  draw_card_ruler(list, {right, y + px(8), column, ruler}, "canine", "canine_left", now.canine_left,
                  start ? &start->canine_left : nullptr, -1, doors);
  draw_card_ruler(list, {right, y + px(8) + next, column, ruler}, "molar", "molar_left", now.molar_left,
                  start ? &start->molar_left : nullptr, -1, doors);
  draw_card_section(list, {left + column + px(4), y, rect.w - 2 * column - px(8), middle}, now, start, doors);
  draw_card_contacts(list, {rect.x, y + middle, rect.w, px(kContactBand)}, now);
  return doors;
}

}  // namespace intercusp
