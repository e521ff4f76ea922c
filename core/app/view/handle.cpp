#include "app/view/handle.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "app/scene/words.h"
#include "app/theme.h"
#include "app/view/screen_distance.h"
#include "app/view/screen_place.h"
#include "app/widgets/widgets.h"

namespace intercusp {

namespace {

struct Part {
  const char* name;
  bool turning;
  Vec3 axis;  // positive movement, or right-handed axis of the positive turn
  const char* positive;
  const char* negative;
};

const std::array<Part, 6>& parts() {
  static const std::array<Part, 6> all = {
      {{"forward", false, {0, -1, 0}, "forward", "back"},
       {"up", false, {0, 0, 1}, "up", "down"},
       {"left", false, {1, 0, 0}, "to the patient's left", "to the patient's right"},
       {"pitch", true, {-1, 0, 0}, "up at the front", "down at the front"},
       {"roll", true, {0, 1, 0}, "left side down", "right side down"},
       {"yaw", true, {0, 0, 1}, "front to the patient's left", "front to the patient's right"}}};
  return all;
}

const Part* find_part(const std::string& name) {
  for (const Part& p : parts())
    if (name == p.name) return &p;
  return nullptr;
}

// Dark on a light casing, or the other way round: it stands before teeth and before the ground.
ImU32 handle_ink() {
  return theme().dark ? IM_COL32(246, 248, 248, 255) : IM_COL32(28, 36, 42, 255);
}
ImU32 handle_casing() {
  return theme().dark ? IM_COL32(18, 24, 28, 255) : IM_COL32(255, 255, 255, 255);
}
ImU32 handle_lit() {
  return theme().dark ? IM_COL32(74, 208, 214, 255) : IM_COL32(10, 122, 134, 255);
}
constexpr float kReach = 74, kInner = 20, kRing = 52, kTouch = 10;  // logical px

std::optional<Vec3> pivot_now(const Workspace& w) {
  const auto e = edited_movement(w.planned(), w.plan, w.segment);
  if (!e) return std::nullopt;
  const Vec3 p = e.value().pivot;
  const Pose before = e.value().before.count(w.segment) ? e.value().before.at(w.segment) : Pose::Identity();
  const auto now = w.readings.now().poses.find(w.segment);
  return now == w.readings.now().poses.end() ? p : now->second * (before.inverse() * p);
}

// A straight part seen nearly end-on cannot be dragged; a ring seen from its edge cannot be turned.
bool usable(const Part& part, const Camera& c) {
  const double facing = std::abs(part.axis.dot(c.towards_viewer()));
  return part.turning ? facing > 0.45 : facing < 0.93;
}

// What points at the viewer is pulled by a disc beside the middle instead: down brings it nearer.
bool end_on(const Part& part, const Camera& c) {
  return !part.turning && !usable(part, c);
}
constexpr float kEndOnAside = 36, kEndOnRadius = 11;
ImVec2 end_on_place(ImVec2 centre) {
  return {centre.x - px(kEndOnAside), centre.y + px(kEndOnAside)};
}

ImVec2 direction_on_screen(const Part& part, const Camera& c) {
  const Vec3 v = c.view_from_patient * part.axis;
  return {static_cast<float>(v.x()), static_cast<float>(-v.y())};
}

// The middle of a ring's handle: the share of the ring that is drawn, as points.
std::vector<ImVec2> ring_points(const Part& part, const Camera& c, ImVec2 centre, float radius) {
  const Vec3 side = std::abs(part.axis.z()) > 0.5 ? Vec3(0, -1, 0) : Vec3(0, 0, 1);
  const Vec3 other = part.axis.cross(side);
  std::vector<ImVec2> out;
  for (int i = -10; i <= 10; ++i) {
    const double a = radians(45 + 4.5 * i);
    const Vec3 p = c.view_from_patient * (std::cos(a) * side + std::sin(a) * other);
    out.push_back({centre.x + radius * static_cast<float>(p.x()), centre.y - radius * static_cast<float>(p.y())});
  }
  return out;
}

float distance_to_path(ImVec2 p, const std::vector<ImVec2>& path) {
  float best = 1e9f;
  for (std::size_t i = 1; i < path.size(); ++i) best = std::min(best, distance_to_stretch(p, path[i - 1], path[i]));
  return best;
}

// How far a pixel lies from what is drawn of a part; negative within its disc.
float distance_to_part(const Part& part, const Camera& camera, ImVec2 c, ImVec2 p) {
  if (part.turning) return distance_to_path(p, ring_points(part, camera, c, px(kRing)));
  if (end_on(part, camera)) {
    const ImVec2 e = end_on_place(c);
    return std::hypot(p.x - e.x, p.y - e.y) - px(kEndOnRadius);
  }
  const ImVec2 d = direction_on_screen(part, camera);
  const auto along = [&](float s) { return ImVec2{c.x + d.x * px(s), c.y + d.y * px(s)}; };
  return std::min(distance_to_stretch(p, along(kInner), along(kReach + 8)),
                  distance_to_stretch(p, along(-kInner), along(-0.62f * kReach)));
}

void arrow_head(ImDrawList* list, ImVec2 tip, ImVec2 d, ImU32 colour, float size) {
  const float len = std::max(1e-3f, std::hypot(d.x, d.y));
  const ImVec2 u{d.x / len, d.y / len}, n{-u.y, u.x};
  const ImVec2 a{tip.x + u.x * size, tip.y + u.y * size}, b{tip.x + n.x * size * 0.75f, tip.y + n.y * size * 0.75f},
      c{tip.x - n.x * size * 0.75f, tip.y - n.y * size * 0.75f};
  list->AddTriangle(a, b, c, with_alpha(handle_casing(), 0.85f), px(3.5f));
  list->AddTriangleFilled(a, b, c, colour);
}

void stroke(ImDrawList* list, ImVec2 a, ImVec2 b, ImU32 colour, bool lit) {
  list->AddLine(a, b, with_alpha(handle_casing(), 0.85f), px(lit ? 8 : 6));
  list->AddLine(a, b, colour, px(lit ? 4 : 2.5f));
}

void draw_straight(ImDrawList* list, const Part& part, const Camera& c, ImVec2 centre, bool lit) {
  const ImU32 colour = lit ? handle_lit() : handle_ink();
  const ImVec2 d = direction_on_screen(part, c);
  const ImVec2 a{centre.x + d.x * px(kInner), centre.y + d.y * px(kInner)},
      b{centre.x + d.x * px(kReach), centre.y + d.y * px(kReach)};
  const ImVec2 e{centre.x - d.x * px(kInner), centre.y - d.y * px(kInner)},
      f{centre.x - d.x * px(0.62f * kReach), centre.y - d.y * px(0.62f * kReach)};
  stroke(list, a, b, colour, lit);
  stroke(list, e, f, colour, lit);
  arrow_head(list, b, d, colour, px(lit ? 9 : 7));
  list->AddCircleFilled(f, px(lit ? 7 : 6), with_alpha(handle_casing(), 0.85f));
  list->AddCircleFilled(f, px(lit ? 5 : 4), colour);
}

// The tip of an arrow (or its feathers, where the positive way leads away) with the two ways of pulling.
void draw_end_on(ImDrawList* list, const Part& part, const Camera& c, ImVec2 centre, bool lit) {
  const ImU32 colour = lit ? handle_lit() : handle_ink();
  const ImVec2 p = end_on_place(centre);
  const float r = px(lit ? kEndOnRadius + 1 : kEndOnRadius);
  list->AddLine(centre, p, with_alpha(handle_casing(), 0.85f), px(4));
  list->AddLine(centre, p, colour, px(1.5f));
  list->AddCircleFilled(p, r + px(2), with_alpha(handle_casing(), 0.92f), 28);
  list->AddCircle(p, r, colour, 28, px(lit ? 3 : 2));
  if (part.axis.dot(c.towards_viewer()) > 0) {
    list->AddCircleFilled(p, px(3), colour, 16);
  } else {
    const float e = 0.5f * r;
    list->AddLine({p.x - e, p.y - e}, {p.x + e, p.y + e}, colour, px(2));
    list->AddLine({p.x - e, p.y + e}, {p.x + e, p.y - e}, colour, px(2));
  }
  arrow_head(list, {p.x, p.y - r - px(4)}, {0, -1}, colour, px(6));
  arrow_head(list, {p.x, p.y + r + px(4)}, {0, 1}, colour, px(6));
}

void draw_ring(ImDrawList* list, const Part& part, const Camera& c, ImVec2 centre, bool lit) {
  const ImU32 colour = lit ? handle_lit() : handle_ink();
  const auto path = ring_points(part, c, centre, px(kRing));
  const int n = static_cast<int>(path.size());
  list->AddPolyline(path.data(), n, with_alpha(handle_casing(), 0.85f), 0, px(lit ? 8 : 6));
  list->AddPolyline(path.data(), n, colour, 0, px(lit ? 4 : 2.5f));
  for (const std::size_t end : {std::size_t{0}, path.size() - 1}) {
    const ImVec2 p = path[end], q = path[end == 0 ? 1 : path.size() - 2];
    arrow_head(list, p, {p.x - q.x, p.y - q.y}, colour, px(lit ? 8 : 6));
  }
}

// Where the part can be taken, for tests and scripts.
void note_part(const Part& part, const Camera& camera, ImVec2 centre) {
  const ImVec2 d = direction_on_screen(part, camera);
  const float reach = px(0.75f * kReach), half = px(touch_input() ? 22 : kTouch);
  ImVec2 p{centre.x + d.x * reach, centre.y + d.y * reach};
  if (part.turning) {
    const auto path = ring_points(part, camera, centre, px(kRing));
    p = path[path.size() / 2];
  } else if (end_on(part, camera)) {
    p = end_on_place(centre);
  }
  ui::note_rect(std::string("handle.") + part.name, {p.x - half, p.y - half}, {p.x + half, p.y + half});
}

double angle_at(const View& view, const Vec3& pivot, float x, float y) {
  const ImVec2 c = screen_place(view, pivot);
  return degrees(std::atan2(c.y - y, x - c.x));
}

double mm_along(const View& view, const Part& part, float x, float y) {
  const Projection p{view.camera, view.rect};
  if (end_on(part, view.camera)) return (part.axis.dot(view.camera.towards_viewer()) > 0 ? y : -y) / p.px_per_mm();
  const ImVec2 d = direction_on_screen(part, view.camera);
  const double len = d.x * d.x + d.y * d.y;
  return (x * d.x + y * d.y) / std::max(1e-6, len * p.px_per_mm());
}

}  // namespace

double quantity_of(const Movement& m, const std::string& part) {
  if (part == "forward") return m.forward_mm;
  if (part == "up") return m.up_mm;
  if (part == "left") return m.left_mm;
  if (part == "pitch") return m.pitch_deg;
  return part == "roll" ? m.roll_deg : m.yaw_deg;
}

std::string part_words(const std::string& name, double value) {
  const Part* part = find_part(name);
  if (!part) return {};
  const std::string unit = part->turning ? "\xC2\xB0 " : " mm ";
  return amount(value, 1) + unit + (value < -0.04 ? part->negative : part->positive);
}

bool Handle::shown(const Workspace& w) {
  return w.has_case && w.stop == Stop::movement && w.held == Moment::planned && w.tool == Tool::turn &&
         bool(can_move(w.planned(), w.segment));
}

std::string Handle::part_at(const Workspace& w, std::size_t index, float x, float y) {
  if (!shown(w) || index != w.active_view) return {};
  const auto pivot = pivot_now(w);
  if (!pivot) return {};
  const View& view = w.views[index];
  const ImVec2 c = screen_place(view, *pivot), p{x, y};
  std::string best;
  float nearest = px(touch_input() ? 2 * kTouch : kTouch);
  for (const Part& part : parts()) {
    if (part.turning && !usable(part, view.camera)) continue;
    const float distance = distance_to_part(part, view.camera, c, p);
    if (distance < nearest) {
      nearest = distance;
      best = part.name;
    }
  }
  return best;
}

void Handle::draw(const Workspace& w, std::size_t index, ImDrawList* list, const std::string& lit) {
  const auto pivot = pivot_now(w);
  if (!pivot) return;
  const View& view = w.views[index];
  const ImVec2 c = screen_place(view, *pivot);
  for (const Part& part : parts()) {
    if (part.turning && !usable(part, view.camera)) continue;
    note_part(part, view.camera, c);
    const auto draw_part = part.turning ? draw_ring : end_on(part, view.camera) ? draw_end_on : draw_straight;
    draw_part(list, part, view.camera, c, lit == part.name);
  }
  list->AddCircleFilled(c, px(6), with_alpha(handle_casing(), 0.85f));
  list->AddCircleFilled(c, px(4), handle_lit());
}

void Handle::grab(const Workspace& w, std::size_t index, const std::string& part, float x, float y) {
  const auto edited = edited_movement(w.planned(), w.plan, w.segment);
  const auto pivot = pivot_now(w);
  if (!edited || !pivot || !find_part(part)) return;
  part_ = part;
  view_ = index;
  pivot_ = *pivot;
  begin_value_ = quantity_of(edited.value().movement, part);
  begin_along_ = mm_along(w.views[index], *find_part(part), x, y);
  last_angle_ = angle_at(w.views[index], pivot_, x, y);
  turned_ = 0;
}

double Handle::value(const Workspace& w, float x, float y, bool fine) {
  const Part& part = *find_part(part_);
  const View& view = w.views[view_];
  double v = begin_value_;
  if (part.turning) {
    const double a = angle_at(view, pivot_, x, y);
    double step = a - last_angle_;
    step -= 360 * std::round(step / 360);
    last_angle_ = a;
    turned_ += part.axis.dot(view.camera.towards_viewer()) > 0 ? step : -step;
    v += turned_;
  } else {
    v += mm_along(view, part, x, y) - begin_along_;
  }
  const double step = part.turning ? w.nudge_deg : w.nudge_mm, snap = fine ? 0.1 * step : step;
  return std::round(v / snap) * snap;
}

}  // namespace intercusp
