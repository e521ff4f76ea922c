#include "app/view/layout.h"

#include <algorithm>
#include <array>

#include "app/theme.h"
#include "app/view/pick.h"

namespace intercusp {

namespace {

constexpr double kGlideSeconds = 0.18;
constexpr double kMargin = 1.22;     // room around a fitted case
constexpr double kLowMargin = 1.06;  // above and below it in a view with little height

struct Cell {
  float x, y, w, h;  // shares of the area
};

std::vector<Cell> cells(const std::string& layout, bool upright) {
  if (layout == "two" || layout == "arches") {
    if (upright) return {{0, 0, 1, 0.5f}, {0, 0.5f, 1, 0.5f}};
    return {{0, 0, 0.5f, 1}, {0.5f, 0, 0.5f, 1}};
  }
  if (layout == "four")
    return {{0, 0, 0.5f, 0.5f}, {0.5f, 0, 0.5f, 0.5f}, {0, 0.5f, 0.5f, 0.5f}, {0.5f, 0.5f, 0.5f, 0.5f}};
  if (layout == "record") {
    constexpr float third = 1.0f / 3;
    return {{third, 0, third, 0.5f},
            {0, 0, third, 0.5f},
            {2 * third, 0, third, 0.5f},
            {0, 0.5f, 0.5f, 0.5f},
            {0.5f, 0.5f, 0.5f, 0.5f}};
  }
  return {{0, 0, 1, 1}};
}

const char* first_record(const std::string& layout, std::size_t i) {
  static const std::array<const char*, 5> record = {"front", "right", "left", "upper", "lower"};
  static const std::array<const char*, 4> four = {"front", "right", "upper", "lower"};
  static const std::array<const char*, 2> two = {"front", "right"};
  if (layout == "arches") return i == 0 ? "upper" : "lower";
  if (layout == "record") return record[std::min<std::size_t>(i, 4)];
  if (layout == "four") return four[std::min<std::size_t>(i, 3)];
  return two[std::min<std::size_t>(i, 1)];
}

Shown shown_in(const std::string& name, Shown otherwise) {
  if (name == "upper") return Shown::upper;
  if (name == "lower") return Shown::lower;
  return name == "fit" ? otherwise : Shown::all;
}

constexpr std::size_t kLooked = 20000;  // vertices of a body that a fit looks at

// Box of what the view shows, in view axes about the origin: of the surfaces themselves, for the corners of a body's
// own box lie far outside it when it is seen obliquely.
Box box_in_view(const Workspace& w, Shown shown, const Eigen::Quaterniond& rotation) {
  Box box;
  for (const Body& body : w.shown().bodies) {
    if (!body.surface || !body_shown(w, body, shown)) continue;
    const Pose pose = pose_of_body(w.shown(), body, w.readings.now().poses);
    const Mat3 turn = rotation.toRotationMatrix() * pose.linear();
    const Vec3 shift = rotation * pose.translation();
    const auto& vertices = body.surface->mesh().positions;
    const std::size_t step = 1 + vertices.size() / kLooked;
    for (std::size_t i = 0; i < vertices.size(); i += step) box.extend(turn * vertices[i].cast<double>() + shift);
  }
  return box;
}

}  // namespace

void lay_out_views(Workspace& w, const Rect& area, bool keep_width) {
  const auto places = cells(w.layout, area.h > area.w);
  w.views.resize(places.size());
  w.active_view = std::min(w.active_view, w.views.size() - 1);
  const float gap = places.size() > 1 ? px(2) : 0;
  for (std::size_t i = 0; i < places.size(); ++i) {
    const Cell& c = places[i];
    const float x0 = std::round(area.x + c.x * area.w + (c.x > 0 ? 0.5f * gap : 0));
    const float y0 = std::round(area.y + c.y * area.h + (c.y > 0 ? 0.5f * gap : 0));
    const float x1 = std::round(area.x + (c.x + c.w) * area.w - (c.x + c.w < 0.99f ? 0.5f * gap : 0));
    const float y1 = std::round(area.y + (c.y + c.h) * area.h - (c.y + c.h < 0.99f ? 0.5f * gap : 0));
    const Rect before = w.views[i].rect;
    const bool narrowed = keep_width && before.w > 1 && before.h == y1 - y0 && before.w != x1 - x0;
    if (narrowed) w.views[i].camera.half_height_mm *= before.w / std::max(1.0f, x1 - x0);
    w.views[i].rect = {x0, y0, std::max(1.0f, x1 - x0), std::max(1.0f, y1 - y0)};
  }
}

Camera camera_for(const Workspace& w, const View& view, const std::string& name) {
  Camera c = view.camera;
  if (name != "fit") c.view_from_patient = record_rotation(name);
  const Box box = box_in_view(w, shown_in(name, view.shown), c.view_from_patient);
  if (box.isEmpty()) return c;
  c.target = c.view_from_patient.conjugate() * box.center();
  const double height = std::max(1.0f, view.rect.h), aspect = view.rect.w / height;
  c.half_height_mm = 0.5 * kMargin * std::max(box.sizes().y(), box.sizes().x() / aspect);
  const double above = 0.5 * height * (1 - 0.5 * box.sizes().y() / c.half_height_mm);
  if (above >= view.covered || view.covered > 0.5 * height) return c;
  // In a low view the tools would stand over the upper jaw: it is fitted into what is left below them.
  const double left = height - view.covered;
  c.half_height_mm = 0.5 * std::max(kMargin * box.sizes().x() / aspect, kLowMargin * box.sizes().y() * height / left);
  const double mm_per_px = 2 * c.half_height_mm / height;
  c.target += c.view_from_patient.conjugate() * Vec3(0, 0.5 * view.covered * mm_per_px, 0);
  return c;
}

bool whole_in_view(const Workspace& w, const View& view) {
  const Box box = box_in_view(w, view.shown, view.camera.view_from_patient);
  if (box.isEmpty()) return true;
  const Vec3 target = view.camera.view_from_patient * view.camera.target;
  const double high = view.camera.half_height_mm, wide = high * view.rect.w / std::max(1.0f, view.rect.h);
  return box.max().x() <= target.x() + wide && box.min().x() >= target.x() - wide &&
         box.max().y() <= target.y() + high && box.min().y() >= target.y() - high;
}

void send_view(Workspace& w, std::size_t index, const std::string& name) {
  if (index >= w.views.size()) return;
  View& view = w.views[index];
  view.shown = shown_in(name, view.shown);
  if (name == "fit" && view.record.empty()) view.shown = Shown::all;
  if (name != "fit") view.record = name;
  glide_to(w, index, camera_for(w, view, name));
}

void see_bone(Workspace& w) {
  if (!w.has_case || w.active_view >= w.views.size()) return;
  const auto& bodies = w.now().bodies;
  const bool bone = std::any_of(bodies.begin(), bodies.end(), [](const Body& b) { return !is_dental(b.name); });
  View& view = w.views[w.active_view];
  if (!bone || (view.shown == Shown::all && whole_in_view(w, view))) return;
  view.shown = Shown::all;
  glide_to(w, w.active_view, camera_for(w, view, "fit"));
}

void glide_to(Workspace& w, std::size_t index, const Camera& to) {
  if (w.reduced_motion) {
    w.views[index].camera = to;
  } else {
    if (w.glide) w.views[w.glide->view].camera = w.glide->to;
    w.glide = Glide{index, w.views[index].camera, to, w.seconds, w.seconds + kGlideSeconds};
  }
  w.wake();
}

void set_layout(Workspace& w, const std::string& layout) {
  const Rect area = [&] {
    Rect r = w.views.front().rect;
    for (const View& v : w.views) {
      const float right = std::max(r.x + r.w, v.rect.x + v.rect.w), low = std::max(r.y + r.h, v.rect.y + v.rect.h);
      r.x = std::min(r.x, v.rect.x);
      r.y = std::min(r.y, v.rect.y);
      r.w = right - r.x;
      r.h = low - r.y;
    }
    return r;
  }();
  w.layout = layout;
  w.glide.reset();
  lay_out_views(w, area);
  for (std::size_t i = 0; i < w.views.size(); ++i) {
    View& v = w.views[i];
    v.record = first_record(layout, i);
    v.shown = shown_in(v.record, Shown::all);
    v.camera = camera_for(w, v, v.record);
  }
  w.active_view = 0;
  w.wake();
}

void look_at_section(Workspace& w, const Vec3& at, const Vec3& normal, double half_height_mm) {
  w.section.on = true;
  w.section.at = at;
  w.section.normal = normal;
  View& v = w.views[w.active_view];
  Camera c = v.camera;
  c.view_from_patient = Eigen::Quaterniond::FromTwoVectors(normal, Vec3::UnitZ());
  const Vec3 up = c.view_from_patient * Vec3::UnitZ();
  c.view_from_patient =
      (Eigen::AngleAxisd(std::atan2(up.x(), up.y()), Vec3::UnitZ()) * c.view_from_patient).normalized();
  c.target = at;
  c.half_height_mm = half_height_mm;
  v.record.clear();
  v.shown = Shown::all;
  glide_to(w, w.active_view, c);
}

void keep_looking_place(Workspace& w) {
  if (!w.looked_from) w.looked_from = LookedFrom{w.active_view, w.views[w.active_view]};
}

void look_from_before(Workspace& w) {
  if (!w.looked_from) return;
  const LookedFrom from = *w.looked_from;
  w.looked_from.reset();
  if (from.view >= w.views.size()) return;  // another layout since
  View& v = w.views[from.view];
  v.shown = from.before.shown;
  v.record = from.before.record;
  glide_to(w, from.view, from.before.camera);
}

bool advance_glide(Workspace& w) {
  if (!w.glide) return false;
  const Glide g = *w.glide;
  const double t = std::clamp((w.seconds - g.begin) / (g.end - g.begin), 0.0, 1.0);
  if (g.view < w.views.size()) w.views[g.view].camera = between(g.from, g.to, t * t * (3 - 2 * t));
  if (t >= 1) {
    if (g.view < w.views.size()) w.views[g.view].camera = g.to;
    w.glide.reset();
  }
  return true;
}

}  // namespace intercusp
