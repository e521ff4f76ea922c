#include "app/view/overlay.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <map>

#include "anatomy/landmarks.h"
#include "anatomy/notation.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/view/cut_overlay.h"
#include "app/view/figure.h"
#include "app/view/handle.h"
#include "app/view/labels.h"
#include "app/view/layout.h"
#include "app/view/pick.h"
#include "app/view/place_marks.h"
#include "app/view/plate_overlay.h"
#include "app/view/review_overlay.h"
#include "app/view/screen_place.h"
#include "app/view/section_overlay.h"
#include "app/view/splint_overlay.h"
#include "app/widgets/widgets.h"
#include "app/work/ruler.h"
#include "app/work/stops.h"

namespace intercusp {

namespace {

// Words over whatever the view shows there, on a ground of their own so that they can be read.
void put_on_ground(ImDrawList* list, float x, float y, const std::string& words, float align) {
  const float w = ui::text_width(fonts().small, words), left = std::floor(x - align * w);
  list->AddRectFilled({left - px(4), y - px(1)}, {left + w + px(4), y + fonts().small->FontSize + px(1)},
                      with_alpha(theme().panel, 0.8f), px(4));
  ui::put_text(list, fonts().small, left, y, theme().text, words);
}

void draw_scale_bar(const View& v, ImDrawList* list) {
  const double px_per_mm = Projection{v.camera, v.rect}.px_per_mm();
  double mm = 1;
  for (const double step : {1.0, 2.0, 5.0, 10.0, 20.0, 50.0})
    if (step * px_per_mm <= std::min(px(120), 0.2f * v.rect.w)) mm = step;
  const bool narrow = v.rect.w < px(240);  // no room beside the figure
  const float w = static_cast<float>(mm * px_per_mm), x = v.rect.x + px(16),
              y = narrow ? v.rect.y + px(18) : v.rect.y + v.rect.h - px(18);
  const ImU32 c = theme().text;
  list->AddRectFilled({x - px(4), y - px(8)}, {x + w + px(4), y + px(4)}, with_alpha(theme().panel, 0.8f), px(4));
  list->AddLine({x, y}, {x + w, y}, c, px(2));
  for (int i = 0; i <= 1; ++i) list->AddLine({x + i * w, y - px(5)}, {x + i * w, y + px(1)}, c, std::max(1.0f, px(2)));
  put_on_ground(list, x + w + px(10), y - px(11), std::to_string(static_cast<int>(mm)) + " mm", 0);
}

void draw_figure(const View& v, ImDrawList* list) {
  const Rect r = figure_rect(v);
  const float size = (r.h - px(19)) / 2.375f;
  draw_head(list, v.camera, {r.x + r.w - size - px(8), r.y + size + px(2)}, size);
  put_on_ground(list, r.x + r.w - px(4), r.y + r.h - fonts().small->FontSize, viewer_position_words(v.camera), 1);
}

void draw_construct(const View& v, ImDrawList* list, Labels& labels, const Construct& c) {
  const Theme& t = theme();
  std::vector<ImVec2> q;
  for (const Vec3& p : c.points) q.push_back(screen_place(v, p));
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

/// The arch that a construct is of, where its label names a tooth or a landmark of one.
std::optional<Shown> arch_of(const Construct& c) {
  const auto digit = [&](std::size_t i) { return c.label[i] >= '1' && c.label[i] <= '8'; };
  if (c.label.size() < 2 || !digit(0) || !digit(1) || c.label[0] > '4') return std::nullopt;
  if (c.label.size() > 2 && c.label[2] != '.') return std::nullopt;  // a pair of teeth: "11/41"
  return c.label[0] < '3' ? Shown::upper : Shown::lower;
}

void draw_explained(const Workspace& w, const View& v, ImDrawList* list, Labels& labels) {
  const MeasureRow* row = w.readings.now().row(w.explained);
  if (!row || !row->value) return;
  constexpr std::size_t kMany = 6;
  const auto& constructs = row->value->construct;
  for (Construct c : constructs) {
    const auto arch = arch_of(c);
    if (arch && v.shown != Shown::all && v.shown != *arch) continue;
    if (known_landmark(c.label)) c.label = landmark_words(c.label);
    // In small pictures the names of many teeth cover them; each arch names its own.
    if (v.shown == Shown::all && w.views.size() > 1 && constructs.size() > kMany) c.label.clear();
    draw_construct(v, list, labels, c);
  }
}

void draw_ruler(const Workspace& w, const View& v, ImDrawList* list, Labels& labels) {
  if (w.tool != Tool::rule) return;
  const Theme& t = theme();
  std::vector<ImVec2> ends;
  for (const Vec3& p : w.rule) ends.push_back(screen_place(v, p));
  if (ends.size() == 2) {
    list->AddLine(ends[0], ends[1], with_alpha(t.panel, 0.8f), px(5));
    list->AddLine(ends[0], ends[1], t.accent, px(2.5f));
    labels.add({0.5f * (ends[0].x + ends[1].x), 0.5f * (ends[0].y + ends[1].y)}, ruler_words(*ruler_reading(w)), t.text,
               true);
  }
  for (const ImVec2& end : ends) {
    list->AddCircleFilled(end, px(5), t.panel);
    list->AddCircleFilled(end, px(3.5f), t.accent);
  }
}

void draw_landmarks(const Workspace& w, std::size_t index, ImDrawList* list, Labels& labels) {
  if (w.stop != Stop::records && w.tool != Tool::choose_pivot) return;
  const View& v = w.views[index];
  for (const auto& [name, p] : w.readings.now().points) {
    const ImVec2 q = screen_place(v, p);
    if (!v.rect.contains(q.x, q.y)) continue;
    const bool lower = jaw_of_landmark(name) == Jaw::lower;
    if (!landmark_shown(w, v, name) || !visible(w, index, p)) continue;
    const bool wanted = name == w.landmark_wanted;
    list->AddCircleFilled(q, px(wanted ? 6 : 4), theme().panel);
    const ImU32 colour = wanted ? theme().accent : lower ? theme().lower : theme().upper;
    if (w.now().landmarks.count(name) && !w.now().landmarks.at(name).confirmed) {
      // Proposed: an open dot; in doubt: a larger ring in the colour that asks for attention.
      list->AddCircle(q, px(wanted ? 4.5f : 3), colour, 16, px(1.5f));
      if (in_doubt(w, name)) list->AddCircle(q, px(7), theme().overlap_text, 20, px(1.5f));
    } else {
      list->AddCircleFilled(q, px(wanted ? 4.5f : 2.5f), colour);
    }
    if (wanted) labels.add(q, landmark_words(name), theme().text, true);
  }
}

bool overlap(const Rect& a, const Rect& b) {
  return a.x < b.x + b.w && b.x < a.x + a.w && a.y < b.y + b.h && b.y < a.y + a.h;
}

bool on_handle(const Workspace& w, std::size_t index, const Rect& r) {
  for (const float x : {r.x, r.x + 0.5f * r.w, r.x + r.w})
    for (const float y : {r.y, r.y + 0.5f * r.h, r.y + r.h})
      if (!Handle::part_at(w, index, x, y).empty()) return true;
  return false;
}

// Where a number can stand: wanted, or a little beside it where the handle is; nowhere when another number stands
// there.
std::optional<Rect> free_place(const Workspace& w, std::size_t index, const Rect& wanted,
                               const std::vector<Rect>& taken) {
  const float dx = wanted.w + px(4), dy = wanted.h + px(4);
  const ImVec2 shifts[] = {{0, 0}, {0, -dy}, {0, dy}, {-dx, 0}, {dx, 0}, {-dx, -dy}, {dx, -dy}};
  for (const ImVec2& s : shifts) {
    const Rect r{std::floor(wanted.x + s.x), std::floor(wanted.y + s.y), wanted.w, wanted.h};
    if (std::any_of(taken.begin(), taken.end(), [&](const Rect& t) { return overlap(r, t); })) break;
    if (!on_handle(w, index, r)) return r;
  }
  return std::nullopt;
}

// The number of each tooth beside its crown, where the crown can be seen.
void draw_tooth_numbers(const Workspace& w, std::size_t index, ImDrawList* list) {
  if (!(w.tooth_numbers || w.tool == Tool::click_teeth)) return;
  const View& v = w.views[index];
  std::map<int, std::pair<Vec3, int>> crowns;
  for (const auto& [name, p] : w.readings.now().points) {
    const int tooth = std::atoi(name.c_str());
    const bool lower = jaw_of_landmark(name) == Jaw::lower;
    if (!is_permanent_tooth(tooth) || name.find("apex") != std::string::npos ||
        name.find("gingival") != std::string::npos)
      continue;
    if ((v.shown == Shown::upper && lower) || (v.shown == Shown::lower && !lower)) continue;
    if (!jaw_shown(w, lower)) continue;
    auto& [sum, count] = crowns[tooth];
    if (count == 0) sum = Vec3::Zero();
    sum += p;
    ++count;
  }
  std::vector<Rect> taken;
  for (const auto& [tooth, crown] : crowns) {
    // From the cusps into the middle of the crown.
    const Vec3 p = crown.first / crown.second + Vec3(0, 0, tooth / 10 > 2 ? -3.0 : 3.0);
    if (!visible(w, index, p + 4.0 * v.camera.towards_viewer())) continue;
    const ImVec2 q = screen_place(v, p);
    if (!v.rect.contains(q.x, q.y)) continue;
    const std::string words = std::to_string(tooth);
    const float width = ui::text_width(fonts().small_strong, words) + px(8), h = fonts().small_strong->FontSize + px(2);
    const auto place = free_place(w, index, {q.x - 0.5f * width, q.y - 0.5f * h, width, h}, taken);
    if (!place) continue;
    const Rect& r = *place;
    taken.push_back(r);
    list->AddRectFilled({r.x, r.y}, {r.x + r.w, r.y + r.h}, with_alpha(theme().panel, 0.82f), px(4));
    ui::put_text(list, fonts().small_strong, r.x + px(4), r.y + px(1), tooth / 10 > 2 ? theme().lower : theme().upper,
                 words);
  }
}

// What a picture that leaves the program says of itself.
void draw_caption(const Workspace& w, const View& v, ImDrawList* list) {
  const Theme& t = theme();
  const float h = fonts().small->FontSize + px(14);
  std::string words = w.now().id + ", " + w.moment_words() + ", " + viewer_position_words(v.camera);
  if (w.gap.on) words += ", gap to the other jaw within " + amount(w.gap.limit_mm, 2) + " mm";
  list->AddRectFilled({v.rect.x, v.rect.y}, {v.rect.x + v.rect.w, v.rect.y + h}, t.panel);
  ui::put_text(list, fonts().small, v.rect.x + px(12), v.rect.y + px(7), t.text,
               ui::fitted(fonts().small, words, v.rect.w - px(24)));
}

// How deep one goes into the other, from surface to surface, as a dimension on the section.
void draw_depth(const Workspace& w, const View& v, ImDrawList* list, const ClearanceRow& row) {
  std::array<Vec3, 2> ends;
  for (const std::size_t i : {std::size_t{0}, std::size_t{1}}) {
    const Body* body = w.shown().find_body(i == 0 ? row.first : row.second);
    if (!body || !body->surface) return;
    const Pose pose = pose_of_body(w.shown(), *body, w.readings.now().poses);
    ClosestPoint nearest;
    if (!body->surface->bvh().closest(body->surface->mesh(), pose.inverse() * row.at, row.depth_mm + 1, nearest))
      return;
    ends[i] = pose * nearest.point;
  }
  if (std::abs((ends[0] - ends[1]).norm() - row.depth_mm) > 0.1) return;
  const ImVec2 a = screen_place(v, ends[0]), b = screen_place(v, ends[1]);
  const float len = std::hypot(b.x - a.x, b.y - a.y);
  if (len < px(6)) return;
  const ImVec2 across{-(b.y - a.y) / len * px(7), (b.x - a.x) / len * px(7)};
  const auto stroke = [&](ImVec2 from, ImVec2 to) {
    list->AddLine(from, to, theme().panel, px(5));
    list->AddLine(from, to, theme().text, px(2));
  };
  stroke(a, b);
  for (const ImVec2& e : {a, b}) stroke({e.x - across.x, e.y - across.y}, {e.x + across.x, e.y + across.y});
}

void draw_clearance_place(const Workspace& w, const View& v, ImDrawList* list, Labels& labels) {
  if (w.removal.shown(w.readings.version())) return;  // there is no such place any more
  if (w.chosen_clearance < 0 || w.chosen_clearance >= static_cast<int>(w.contacts.clearance().size())) return;
  const ClearanceRow& row = w.contacts.clearance()[static_cast<std::size_t>(w.chosen_clearance)];
  const ImVec2 q = screen_place(v, row.at);
  list->AddCircle(q, px(9), theme().panel, 24, px(4));
  list->AddCircle(q, px(9), theme().overlap, 24, px(2));
  if (w.section.at) draw_depth(w, v, list, row);
  labels.add(q,
             std::to_string(w.chosen_clearance + 1) + "  " + row.site + ", " + amount(row.depth_mm, 2) + " mm overlap",
             theme().overlap_text, true);
}

}  // namespace

Rect figure_rect(const View& v) {
  // Smaller in a small view, where it would stand before the model.
  const float share = std::clamp(v.rect.h / px(420), 0.7f, 1.0f);
  const float w = px(150), h = share * px(76);
  return {v.rect.x + v.rect.w - w - px(12), v.rect.y + v.rect.h - h - px(4), w, h};
}

bool landmark_shown(const Workspace& w, const View& v, const std::string& name) {
  // The tip of a root that no body shows would float in the air.
  const auto& bodies = w.shown().bodies;
  if (name.find(".apex") != std::string::npos && name != w.landmark_wanted &&
      std::none_of(bodies.begin(), bodies.end(), [](const Body& b) { return holds_roots(b.name); }))
    return false;
  const bool lower = jaw_of_landmark(name) == Jaw::lower;
  if ((v.shown == Shown::upper && lower) || (v.shown == Shown::lower && !lower)) return false;
  if (!jaw_shown(w, lower) || (scans_alone(w) && !lies_on_scan(name))) return false;
  return w.tool != Tool::choose_pivot || lower == is_lower_name(w.segment);
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
  for (const char* over : {"view_tools", "legend", "explain", "guide", "section_box", "zone_bar", "position_bar",
                           "stability_card", "step"}) {
    const auto found = ui::widget_map().find(over);
    if (found != ui::widget_map().end()) labels.keep_free(found->second);
  }
  labels.keep_free(figure_rect(v));
  draw_section_lines(w, v, list);
  draw_cut_lines(w, index, list, labels);
  draw_explained(w, v, list, labels);
  draw_ruler(w, v, list, labels);
  draw_landmarks(w, index, list, labels);
  draw_tooth_numbers(w, index, list);
  draw_clearance_place(w, v, list, labels);
  draw_place_marks(w, index, list, labels);
  draw_chosen_plate(w, index, list, labels);
  draw_splint_marks(w, index, list, labels);
  draw_review_marks(w, index, list, labels);
  const bool pictured = !w.picture_due.empty();
  if (!pictured && Handle::shown(w) && index == w.active_view) Handle::draw(w, index, list, lit_part);
  labels.draw(list);
  draw_scale_bar(v, list);
  draw_figure(v, list);
  ui::note_rect("figure." + std::to_string(index), {figure_rect(v).x, figure_rect(v).y},
                {figure_rect(v).x + figure_rect(v).w, figure_rect(v).y + figure_rect(v).h});
  if (pictured) draw_caption(w, v, list);
  if (!pictured && w.views.size() > 1 && index == w.active_view)
    list->AddRect({v.rect.x, v.rect.y}, {v.rect.x + v.rect.w, v.rect.y + v.rect.h}, with_alpha(theme().accent, 0.6f), 0,
                  0, px(2));
  list->PopClipRect();
}

}  // namespace intercusp
