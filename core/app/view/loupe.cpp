#include "app/view/loupe.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>

#include "app/scene/gap_words.h"
#include "app/theme.h"
#include "app/view/handle.h"
#include "app/view/layout.h"
#include "app/view/pick.h"
#include "app/view/snap.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

constexpr float kRadius = 66, kTimes = 3;

void tag(ImDrawList* list, float x, float y, const std::string& words, const Rect& area) {
  ImFont* font = fonts().strong;
  const float w = ui::text_width(font, words) + px(16), h = font->FontSize + px(10);
  const float left = std::max(area.x + px(4), std::min(x, area.x + area.w - w - px(4)));
  list->AddRectFilled({left, y}, {left + w, y + h}, theme().panel, px(6));
  list->AddRect({left, y}, {left + w, y + h}, theme().line, px(6));
  ui::put_text(list, font, left + px(8), y + px(5), theme().text, words);
}

// At the side of the view, clear of the tooth that one aims at: on the nearer side where that is far enough away.
ImVec2 loupe_place(const Rect& view, const Rect& area, float x, float y) {
  const float r = px(kRadius), clear = r + px(70), margin = r + px(12);
  const float left = view.x + margin, right = view.x + view.w - margin;
  const bool nearer_left = x < view.x + 0.5f * view.w;
  const float near_x = nearer_left ? left : right, far_x = nearer_left ? right : left;
  const auto tools = ui::widget_map().find("view_tools");
  const float above = tools == ui::widget_map().end() ? area.y : tools->second.y + tools->second.h;
  const float top = above + margin, low = view.y + view.h - margin - px(36);
  return {std::abs(near_x - x) >= clear ? near_x : far_x, std::max(top, std::min(y, low))};
}

Rect area_of(const Workspace& w) {
  const View& v = w.views[w.active_view];
  return v.rect;
}

}  // namespace

void draw_part_words(const Workspace& w, ImDrawList* list, const std::string& part, float x, float y) {
  const auto e = edited_movement(w.planned(), w.plan, w.segment);
  if (e) tag(list, x + px(18), y - px(34), part_words(part, quantity_of(e.value().movement, part)), area_of(w));
}

void draw_pointer_words(const Workspace& w, ImDrawList* list, const std::string& words, float x, float y) {
  tag(list, x + px(18), y - px(34), words, area_of(w));
}

void draw_gap_words(const Workspace& w, std::size_t index, ImDrawList* list, float x, float y) {
  const auto hit = pick(w, index, x, y);
  if (!hit) return;
  const auto gap =
      gap_here(w.shown(), w.contacts, w.readings.now().points, hit->body, hit->triangle, hit->scan, hit->patient);
  if (gap) tag(list, x + px(14), y - px(38), gap_words(*gap), w.views[index].rect);
}

void draw_loupe(Workspace& w, std::size_t index, ImDrawList* list, unsigned picture, const Rect& area, float x,
                float y) {
  const auto hit = pick_near(w, index, x, y);
  if (!hit || !picture) return;
  const float r = px(kRadius), part = r / kTimes;
  const ImVec2 middle = loupe_place(w.views[index].rect, area, x, y);
  const float cx = middle.x, cy = middle.y;
  // The picture's rows run from the bottom.
  const ImVec2 uv0{(x - part - area.x) / area.w, 1 - (y - part - area.y) / area.h};
  const ImVec2 uv1{(x + part - area.x) / area.w, 1 - (y + part - area.y) / area.h};
  const auto image = reinterpret_cast<ImTextureID>(static_cast<std::uintptr_t>(picture));
  list->AddImageRounded(image, {cx - r, cy - r}, {cx + r, cy + r}, uv0, uv1, IM_COL32_WHITE, r);
  list->AddCircle({cx, cy}, r, theme().accent, 48, px(2));
  ui::note_rect("loupe", {cx - r, cy - r}, {cx + r, cy + r});
  const SnappedPlace snapped = snapped_place(w, *hit);
  const auto q = Projection{w.views[index].camera, w.views[index].rect}.pixel(snapped.patient);
  const ImVec2 found{cx + (static_cast<float>(q.x()) - x) * kTimes, cy + (static_cast<float>(q.y()) - y) * kTimes};
  list->AddCircle(found, px(6), theme().panel, 20, px(4));
  list->AddCircle(found, px(6), theme().accent, 20, px(2));
  list->AddCircleFilled(found, px(1.5f), theme().accent);
  tag(list, cx - r, cy + r + px(6), snapped.words.empty() ? "as clicked" : snapped.words, area);
}

void place_landmark_at(Workspace& w, const std::string& name, std::size_t view, float x, float y,
                       const std::string& merge) {
  const auto hit = pick_near(w, view, x, y);
  if (!hit || name.empty()) return;
  const SnappedPlace s = snapped_place(w, *hit);
  w.snap_words = s.words;
  run(w, "place_landmark", {{"name", name}, {"at", {s.scan.x(), s.scan.y(), s.scan.z()}}, {"merge", merge}});
}

void centre_on(Workspace& w, std::size_t index, float x, float y) {
  const auto hit = pick(w, index, x, y);
  if (!hit) return;
  Camera c = w.views[index].camera;
  const double depth = (c.target - hit->patient).dot(c.towards_viewer());
  c.target = hit->patient + depth * c.towards_viewer();
  glide_to(w, index, c);
}

}  // namespace intercusp
