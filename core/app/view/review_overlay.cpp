#include "app/view/review_overlay.h"

#include <cmath>

#include "app/theme.h"
#include "app/view/pick.h"
#include "app/view/screen_place.h"
#include "app/widgets/widgets.h"
#include "app/work/review.h"

namespace intercusp {

namespace {

/// Where a point of a body stands now; nothing where the case has no such body (a plan cut it).
std::optional<Vec3> stands_at(const Workspace& w, const std::string& name, const Vec3& scan) {
  const Body* body = w.shown().find_body(name);
  if (!body) return std::nullopt;
  return pose_of_body(w.shown(), *body, w.readings.now().poses) * scan;
}

bool pin_shown(const ReviewState& r, const Remark& remark) {
  return !remark.body.empty() && (!remark.resolved || r.shows_resolved || remark.id == r.open_remark);
}

void draw_pin(ImDrawList* list, const ImVec2& tip, const std::string& number, bool open, bool resolved) {
  const Theme& t = theme();
  const float r = px(10), lift = px(18);
  const ImVec2 head{tip.x, tip.y - lift};
  const ImU32 ground = resolved ? t.raised : open ? t.accent : t.panel, edge = open ? t.on_accent : t.accent;
  list->AddLine(tip, head, t.panel, px(4));
  list->AddLine(tip, head, t.accent, px(2));
  list->AddCircleFilled(head, r, ground, 24);
  list->AddCircle(head, r, open ? t.panel : edge, 24, px(1.5f));
  ui::put_text(list, fonts().small_strong, head.x, head.y - 0.5f * fonts().small_strong->FontSize,
               open && !resolved ? t.on_accent : t.accent, number, 0.5f);
}

void draw_pointer(ImDrawList* list, Labels& labels, const ImVec2& at, const PersonHere& person) {
  const Theme& t = theme();
  list->AddCircleFilled(at, px(7), t.panel);
  list->AddCircleFilled(at, px(5), t.gap_text);
  list->AddCircle(at, px(10), t.gap_text, 24, px(1.5f));
  labels.add(at, person.name.empty() ? "somebody" : person.name, t.text, true);
}

}  // namespace

std::optional<ImVec2> pin_pixel(const Workspace& w, std::size_t view, const std::string& body, const Vec3& scan) {
  const View& v = w.views[view];
  const auto at = stands_at(w, body, scan);
  if (!at) return std::nullopt;
  const ImVec2 p = screen_place(v, *at);
  return v.rect.contains(p.x, p.y) ? std::optional<ImVec2>(p) : std::nullopt;
}

void draw_review_marks(const Workspace& w, std::size_t view, ImDrawList* list, Labels& labels) {
  if (!in_review(w)) return;
  const ReviewState& r = *w.review;
  std::size_t number = 0;
  for (const Remark& remark : r.sharing.shared().remarks()) {
    ++number;
    if (!pin_shown(r, remark)) continue;
    const auto at = pin_pixel(w, view, remark.body, remark.point);
    if (!at) continue;
    const float side = px(22);
    labels.keep_free({at->x - 0.5f * side, at->y - px(30), side, px(30)});
    draw_pin(list, *at, std::to_string(number), remark.id == r.open_remark, remark.resolved);
  }
  if (r.draft && !r.draft->body.empty())
    if (const auto at = pin_pixel(w, view, r.draft->body, r.draft->point)) draw_pin(list, *at, "+", true, false);
  for (const auto& [session, person] : r.people) {
    if (person.pointed_body.empty()) continue;
    if (const auto at = pin_pixel(w, view, person.pointed_body, person.pointed_at))
      draw_pointer(list, labels, *at, person);
  }
}

std::string remark_under(const Workspace& w, std::size_t view, float x, float y) {
  if (!in_review(w)) return {};
  for (const Remark& remark : w.review->sharing.shared().remarks()) {
    if (!pin_shown(*w.review, remark)) continue;
    const auto at = pin_pixel(w, view, remark.body, remark.point);
    const float reach = px(touch_input() ? 22 : 13);
    if (at && std::hypot(at->x - x, at->y - px(18) - y) < reach) return remark.id;
  }
  return {};
}

void point_for_others(Workspace& w, std::optional<std::size_t> view, float x, float y) {
  if (!in_review(w) || w.review->people.empty()) return;
  ReviewState& r = *w.review;
  const auto hit = view ? pick(w, *view, x, y) : std::nullopt;
  r.pointed_body = hit ? hit->body : "";
  if (hit) r.pointed_at = hit->scan;
}

void pin_remark_at(Workspace& w, std::size_t view, float x, float y) {
  if (!in_review(w)) return;
  const auto hit = pick_near(w, view, x, y);
  if (!hit) return;
  RemarkDraft draft;
  draft.body = hit->body;
  draft.point = hit->scan;
  w.review->draft = draft;
  w.tool = Tool::turn;
}

}  // namespace intercusp
