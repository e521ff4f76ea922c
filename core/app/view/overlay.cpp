#include "app/view/overlay.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "app/panels/words.h"
#include "app/theme.h"
#include "app/view/handle.h"
#include "app/view/labels.h"
#include "app/view/layout.h"
#include "app/view/pick.h"
#include "app/view/section_overlay.h"
#include "app/widgets/widgets.h"

namespace intercusp {

namespace {

ImVec2 at(const View& v, const Vec3& p) {
  const auto q = Projection{v.camera, v.rect}.pixel(p);
  return {static_cast<float>(q.x()), static_cast<float>(q.y())};
}

void draw_scale_bar(const View& v, ImDrawList* list) {
  const double px_per_mm = Projection{v.camera, v.rect}.px_per_mm();
  double mm = 1;
  for (const double step : {1.0, 2.0, 5.0, 10.0, 20.0, 50.0})
    if (step * px_per_mm <= px(120)) mm = step;
  const float w = static_cast<float>(mm * px_per_mm), x = v.rect.x + px(16), y = v.rect.y + v.rect.h - px(18);
  const ImU32 c = theme().soft;
  list->AddLine({x, y}, {x + w, y}, c, px(2));
  for (int i = 0; i <= 1; ++i) list->AddLine({x + i * w, y - px(5)}, {x + i * w, y + px(1)}, c, std::max(1.0f, px(2)));
  ui::put_text(list, fonts().small, x + w + px(8), y - px(11), theme().text,
               std::to_string(static_cast<int>(mm)) + " mm");
}

// A head as a ball with nose and ears that shows from where one looks.
void draw_figure(const View& v, ImDrawList* list) {
  const Rect r = figure_rect(v);
  const Theme& t = theme();
  const float cx = r.x + 0.5f * r.w, cy = r.y + px(22), size = px(15);
  const auto place = [&](const Vec3& d, double reach) {
    const Vec3 q = v.camera.view_from_patient * d;
    return ImVec2{cx + static_cast<float>(q.x() * reach) * size, cy - static_cast<float>(q.y() * reach) * size};
  };
  const auto faces = [&](const Vec3& d) { return d.dot(v.camera.towards_viewer()); };
  const ImU32 ink = t.soft;
  for (const double side : {-1.0, 1.0}) {
    const Vec3 ear(side, 0.1, 0);
    if (faces(ear) > -0.75) list->AddCircleFilled(place(ear, 1.02), 0.28f * size, ink);
  }
  list->AddCircleFilled({cx, cy}, size, mixed(t.panel, ink, 0.18f), 32);
  list->AddCircle({cx, cy}, size, ink, 32, std::max(1.0f, px(1.5f)));
  const Vec3 nose(0, -1, -0.1);
  if (faces(nose) > -0.35) list->AddCircleFilled(place(nose, faces(nose) > 0.8 ? 0.9 : 1.12), 0.24f * size, t.accent);
  for (const double side : {-1.0, 1.0}) {
    const Vec3 eye = Vec3(0.38 * side, -0.85, 0.3).normalized();
    if (faces(eye) > 0.05) list->AddCircleFilled(place(eye, 0.92), 0.13f * size, t.text);
  }
  const Vec3 mouth = Vec3(0, -0.85, -0.52).normalized();
  if (faces(mouth) > 0.1) {
    const ImVec2 a = place(Vec3(-0.25, -0.8, -0.52).normalized(), 0.92),
                 b = place(Vec3(0.25, -0.8, -0.52).normalized(), 0.92);
    list->AddLine(a, b, t.text, std::max(1.0f, px(1.5f)));
  }
  ui::put_text(list, fonts().small, r.x + r.w, cy + size + px(5), t.text, viewer_position_words(v.camera), 1);
}

void draw_construct(const View& v, ImDrawList* list, Labels& labels, const Construct& c) {
  const Theme& t = theme();
  std::vector<ImVec2> q;
  for (const Vec3& p : c.points) q.push_back(at(v, p));
  if (q.empty()) return;
  if (c.kind == "point") {
    list->AddCircleFilled(q[0], px(5), t.panel);
    list->AddCircleFilled(q[0], px(3.5f), t.accent);
    if (!c.label.empty()) labels.add(q[0], c.label, t.text);
    return;
  }
  if (c.kind == "plane") return;
  const bool measured = c.kind == "distance";
  const int n = static_cast<int>(q.size());
  list->AddPolyline(q.data(), n, with_alpha(t.panel, 0.8f), 0, px(measured ? 5 : 3));
  list->AddPolyline(q.data(), n, measured ? t.accent : t.soft, 0, px(measured ? 2.5f : 1.5f));
  if (measured)
    for (const ImVec2& p : {q.front(), q.back()}) list->AddCircleFilled(p, px(3.5f), t.accent);
  if (!c.label.empty()) {
    const ImVec2 middle{0.5f * (q.front().x + q.back().x), 0.5f * (q.front().y + q.back().y)};
    labels.add(middle, c.label, t.text, measured);
  }
}

void draw_explained(const Workspace& w, const View& v, ImDrawList* list, Labels& labels) {
  const MeasureRow* row = w.readings.now().row(w.explained);
  if (!row || !row->value) return;
  for (const Construct& c : row->value->construct) draw_construct(v, list, labels, c);
}

void draw_landmarks(const Workspace& w, std::size_t index, ImDrawList* list, Labels& labels) {
  if (w.stop != Stop::records) return;
  const View& v = w.views[index];
  for (const auto& [name, p] : w.readings.now().points) {
    const ImVec2 q = at(v, p);
    if (!v.rect.contains(q.x, q.y)) continue;
    const bool lower = jaw_of_landmark(name) == Jaw::lower;
    if ((v.shown == Shown::upper && lower) || (v.shown == Shown::lower && !lower) || !visible(w, index, p)) continue;
    const bool wanted = name == w.landmark_wanted;
    list->AddCircleFilled(q, px(wanted ? 6 : 4), theme().panel);
    list->AddCircleFilled(q, px(wanted ? 4.5f : 2.5f), wanted ? theme().accent : lower ? theme().lower : theme().upper);
    if (wanted) labels.add(q, landmark_words(name), theme().text, true);
  }
}

void draw_clearance_place(const Workspace& w, const View& v, ImDrawList* list, Labels& labels) {
  if (w.chosen_clearance < 0 || w.chosen_clearance >= static_cast<int>(w.contacts.clearance().size())) return;
  const ClearanceRow& row = w.contacts.clearance()[static_cast<std::size_t>(w.chosen_clearance)];
  const ImVec2 q = at(v, row.at);
  list->AddCircle(q, px(9), theme().panel, 24, px(4));
  list->AddCircle(q, px(9), theme().overlap, 24, px(2));
  labels.add(q, row.site + ", " + amount(row.depth_mm, 2) + " mm overlap", theme().overlap_text, true);
}

}  // namespace

Rect figure_rect(const View& v) {
  const float w = px(150), h = px(66);
  return {v.rect.x + v.rect.w - w - px(12), v.rect.y + v.rect.h - h - px(4), w, h};
}

void turn_by_figure(Workspace& w, std::size_t index) {
  static const std::array<const char*, 5> order = {"front", "right", "left", "upper", "lower"};
  const std::string& record = w.views[index].record;
  std::size_t next = 0;
  for (std::size_t i = 0; i < order.size(); ++i)
    if (record == order[i]) next = (i + 1) % order.size();
  send_view(w, index, order[next]);
}

void draw_view_overlay(Workspace& w, std::size_t index, ImDrawList* list, const std::string& lit_part) {
  const View& v = w.views[index];
  list->PushClipRect({v.rect.x, v.rect.y}, {v.rect.x + v.rect.w, v.rect.y + v.rect.h});
  Labels labels(v.rect);
  if (w.views.size() == 1) labels.keep_free({v.rect.x, v.rect.y, v.rect.w, px(48)});
  labels.keep_free(figure_rect(v));
  draw_section_lines(w, v, list);
  draw_explained(w, v, list, labels);
  draw_landmarks(w, index, list, labels);
  draw_clearance_place(w, v, list, labels);
  if (Handle::shown(w) && index == w.active_view) Handle::draw(w, index, list, lit_part);
  labels.draw(list);
  draw_scale_bar(v, list);
  draw_figure(v, list);
  ui::note_rect("figure." + std::to_string(index), {figure_rect(v).x, figure_rect(v).y},
                {figure_rect(v).x + figure_rect(v).w, figure_rect(v).y + figure_rect(v).h});
  if (w.views.size() > 1 && index == w.active_view)
    list->AddRect({v.rect.x, v.rect.y}, {v.rect.x + v.rect.w, v.rect.y + v.rect.h}, with_alpha(theme().accent, 0.6f), 0,
                  0, px(2));
  list->PopClipRect();
}

}  // namespace intercusp
