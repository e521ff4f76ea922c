// The bodies on the screen: what is drawn, and when it has to be drawn anew.
#include <GLES3/gl3.h>

#include <algorithm>
#include <chrono>
#include <utility>

#include "app/parts.h"
#include "app/theme.h"
#include "app/view/pick.h"
#include "app/work/feasibility.h"
#include "app/work/review.h"
#include "app/work/splint.h"
#include "app/work/surface_notes.h"
#include "formats/png.h"

namespace intercusp {

namespace {

// A scan of teeth and gum lies over the bone; where the two disagree by less than this (mm), the scan is what one sees.
constexpr float kBoneBehind = 1.5f;
constexpr std::size_t kAlwaysWhole = 40000;  // triangles that need no lighter form

Vec3f rgb_of(ImU32 c) {
  const ImVec4 v = ImGui::ColorConvertU32ToFloat4(c);
  return {v.x, v.y, v.z};
}

Material material_of(const std::string& body) {
  if (is_upper_bone(body) || is_lower_bone(body) || body == "cranium")
    return {Vec3f(0.72f, 0.63f, 0.47f), 0.08f, kBoneBehind};
  return {};
}

// The splint among the arches that it holds.
void add_splint(const Workspace& w, std::vector<DrawnBody>& out) {
  const MadeSplint* made = shown_splint(w);
  if (!made) return;
  DrawnBody d;
  d.surface = made->answer.body.surface;
  d.look = made->answer.body.notes.look;
  d.material.gloss = 0.35f;
  d.material.printed = true;
  if (w.splint.thickness) {
    d.material.map_mm = static_cast<float>(kThicknessMapMm);
    d.material.thin_mm = static_cast<float>(made->asked.settings.least_thickness_mm);
  }
  out.push_back(d);
}

// Whose common part a section fills: of the place chosen the two bodies it lies between, else the jaws.
int overlap_side(const Workspace& w, const std::string& body, bool lower) {
  const auto& rows = w.contacts.clearance();
  const auto chosen = static_cast<std::size_t>(w.chosen_clearance);
  if (!w.trimmed.empty()) return 0;
  if (!w.section.at || w.chosen_clearance < 0 || chosen >= rows.size()) return lower ? 2 : 1;
  return body == rows[chosen].first ? 1 : body == rows[chosen].second ? 2 : 0;
}

std::vector<DrawnBody> drawn_bodies(const Workspace& w) {
  std::vector<DrawnBody> out;
  for (const Body& body : w.shown().bodies) {
    if (!body.surface || body.surface->mesh().empty()) continue;
    const std::string segment = segment_of_body(w.shown(), body);
    const bool lower = is_lower_name(segment);
    if (!body_shown(w, body, Shown::all) && w.trimmed.empty()) continue;
    DrawnBody d;
    d.surface = drawn_surface(w, body);
    d.look = look_of(w, d.surface);
    d.patient_from_surface = pose_of_body(w.shown(), body, w.readings.now().poses);
    d.start_pose = pose_of_body(w.shown(), body, w.readings.start().poses);
    d.moved = !d.patient_from_surface.isApprox(d.start_pose, 1e-7);
    d.material = material_of(body.name);
    d.lower = lower;
    d.overlap_side = overlap_side(w, body.name, lower);
    d.upper = !lower;
    if (lower ? w.through_lower : w.through_upper) d.opacity = 0.35f;
    if (w.removal.before_fresh_bone(w.readings.version(), body.name)) d.opacity = 0.25f;
    if (!w.trimmed.empty()) d.trim = (w.trimmed == "lower") == lower ? Trim::outside : Trim::cut_face;
    if (d.trim == Trim::cut_face) d.upper = d.lower = true;  // its fresh surface belongs to the other jaw
    out.push_back(d);
  }
  add_splint(w, out);
  return out;
}

SceneKey key_of(const Workspace& w, const Look& look, const Rect& area, std::uint64_t gaps) {
  SceneKey k;
  k.readings = w.readings.version();
  k.gaps = gaps;
  for (const View& v : w.views) {
    const auto& q = v.camera.view_from_patient;
    k.cameras.insert(k.cameras.end(),
                     {q.w(), q.x(), q.y(), q.z(), v.camera.target.x(), v.camera.target.y(), v.camera.target.z(),
                      v.camera.half_height_mm, v.rect.x, v.rect.y, v.rect.w, v.rect.h, static_cast<double>(v.shown)});
  }
  if (const auto cut = section_plane(w))
    k.cameras.insert(k.cameras.end(), {cut->first.x(), cut->first.y(), cut->first.z(), cut->second.x(), cut->second.y(),
                                       cut->second.z()});
  k.look = {area.w,
            area.h,
            look.ghost_shown ? 1.f : 0.f,
            look.moving ? 1.f : 0.f,
            look.gap_limit_mm,
            static_cast<float>(look.gap_mode),
            look.background_top.x(),
            look.scale,
            jaw_shown(w, false) ? 1.f : 0.f,
            jaw_shown(w, true) ? 1.f : 0.f,
            scans_alone(w) ? 1.f : 0.f,
            w.through_upper ? 1.f : 0.f,
            w.through_lower ? 1.f : 0.f,
            w.trimmed.empty()      ? 0.f
            : w.trimmed == "lower" ? 2.f
                                   : 1.f};
  k.removal = w.removal.shown(w.readings.version()) ? 1 + w.removal.answers() : 0;
  k.splint = shown_splint(w) ? 2 * w.splint.version + (w.splint.thickness ? 2 : 1) : 0;
  return k;
}

std::vector<DrawnView> drawn_views(const Workspace& w, const Rect& area) {
  std::vector<DrawnView> out;
  for (const View& v : w.views)
    out.push_back({{v.rect.x - area.x, v.rect.y - area.y, v.rect.w, v.rect.h}, v.camera, v.shown, section_plane(w)});
  return out;
}

// What panels drew over an empty view goes again; what stands over the view comes after.
void clear_box(const PixelBox& box, int window_height) {
  glEnable(GL_SCISSOR_TEST);
  glScissor(box.x, window_height - box.y - box.h, box.w, box.h);
  glClear(GL_COLOR_BUFFER_BIT);
  glDisable(GL_SCISSOR_TEST);
}

double milliseconds() {
  using clock = std::chrono::steady_clock;
  return std::chrono::duration<double, std::milli>(clock::now().time_since_epoch()).count();
}

}  // namespace

void App::Parts::update_contacts() {
  const ContactWatch::Wish wish{w.readings.version(), w.dragging, w.gap.on,
                                w.stop == Stop::clearance && w.moment() != Moment::rest, w.seconds};
  w.contacts.refresh(w.errands, w.shown(), w.shown_plan(), w.readings.planned_poses(), w.readings.planned_points(),
                     wish);
  if (gaps_version != w.contacts.answers()) {
    gaps_version = w.contacts.answers();
    if (!w.contacts.due(wish)) w.readings.take_contact(w.contacts.arches());
    if (auto plates = w.contacts.take_plates()) w.plates.take_nearly(std::move(*plates), w.contacts.version());
    for (const ContactPair& pair : w.contacts.pairs()) {
      const Body *a = w.shown().find_body(pair.first), *b = w.shown().find_body(pair.second);
      if (a && a->surface) renderer.set_gap(a->surface, look_of(w, a->surface), pair.result.gap_first);
      if (b && b->surface) renderer.set_gap(b->surface, look_of(w, b->surface), pair.result.gap_second);
    }
  }
  if (w.stop == Stop::clearance && !w.dragging && w.moment() != Moment::rest) {
    bring_up_plates(w);
    if (w.clearance_page == ClearancePage::in_way) bring_up_way(w);
  }
  // An answer that comes later wakes the screen by itself.
  if (w.contacts.due(wish) && !w.errands.busy()) w.wake(1);
}

void App::Parts::update_thickness() {
  const MadeSplint* made = shown_splint(w);
  if (!made || !w.splint.thickness) {
    thickness_of.reset();
    return;
  }
  const ReadySurface& body = made->answer.body;
  if (thickness_of == body.surface) return;
  thickness_of = body.surface;
  renderer.set_gap(body.surface, body.notes.look, made->answer.made.splint.shown_mm);
}

void App::Parts::update_zones() {
  std::vector<std::pair<SurfacePtr, std::uint64_t>> now;
  for (const PaintedZone& zone : w.zones.all()) {
    now.emplace_back(zone.surface, zone.version);
    if (std::find(zoned.begin(), zoned.end(), now.back()) == zoned.end())
      renderer.set_zone(zone.surface, look_of(w, zone.surface), zone.painted);
  }
  for (const auto& gone : zoned)
    if (std::none_of(now.begin(), now.end(), [&](const auto& z) { return z.first == gone.first; }))
      renderer.set_zone(gone.first, look_of(w, gone.first), {});
  zoned = std::move(now);
}

void App::Parts::bring_up_scene(const Rect& area) {
  const Theme& t = theme();
  update_zones();
  update_thickness();
  const std::vector<DrawnBody> bodies = drawn_bodies(w);
  std::size_t triangles = 0;
  for (const DrawnBody& b : bodies) triangles += b.surface->mesh().triangles.size();
  const bool busy = w.moving || w.dragging || w.glide;
  Look look;
  look.background_top = rgb_of(t.view_top);
  look.background_bottom = rgb_of(t.view_bottom);
  look.ghost = rgb_of(t.ghost);
  look.ghost_shown = w.ghost && !w.section.on && w.trimmed.empty() && !w.removal.shown(w.readings.version()) &&
                     !shown_splint(w) &&
                     std::any_of(bodies.begin(), bodies.end(), [](const DrawnBody& b) { return b.moved; });
  look.gap_mode = w.gap.on ? w.gap.mode : GapMode::none;
  look.gap_limit_mm = w.gap.limit_mm;
  look.scale = w.scale;
  look.moving = busy && slow;
  look.light = look.moving && triangles > kAlwaysWhole;
  SceneKey key = key_of(w, look, area, gaps_version);
  if (key == drawn) return;
  const double begin = milliseconds();
  keep_buffers();
  renderer.draw(bodies, drawn_views(w, area), look, static_cast<int>(area.w), static_cast<int>(area.h));
  w.last_scene_ms = milliseconds() - begin;
  drawn = std::move(key);
  ++w.scenes_drawn;
  if (look.moving) w.wake(2);
}

/// Buffers of what the case holds now; others are let go.
void App::Parts::keep_buffers() {
  std::vector<SurfacePtr> kept;
  for (const Case* c : {&w.now(), &w.planned()})
    for (const Body& b : c->bodies) kept.push_back(b.surface);
  if (const MadeSplint* made = shown_splint(w)) kept.push_back(made->answer.body.surface);
  if (const BonesTrimmed* cut_back = w.removal.shown(w.readings.version()))
    for (const BonesTrimmed::Bone& bone : cut_back->bones) kept.push_back(bone.ready.surface);
  renderer.keep_only(kept);
}

void App::Parts::paint(const Rect& area, int height) {
  const PixelBox view{static_cast<int>(area.x), static_cast<int>(area.y), static_cast<int>(area.w),
                      static_cast<int>(area.h)};
  const bool drawn_in_view = bring_up_view(area);
  glBindFramebuffer(GL_FRAMEBUFFER, 0);
  glDisable(GL_SCISSOR_TEST);
  const Vec3f ground = rgb_of(theme().view_bottom);
  glClearColor(ground.x(), ground.y(), ground.z(), 1);
  glClear(GL_COLOR_BUFFER_BIT);
  painter.draw_beside(*ImGui::GetDrawData(), view, renderer);
  if (drawn_in_view)
    renderer.show(view.x, view.y, view.w, view.h, height);
  else
    clear_box(view, height);
  painter.draw_within(*ImGui::GetDrawData(), view);
}

bool App::Parts::bring_up_view(const Rect& area) {
  drawn_area = {};
  if (area.w < 1 || area.h < 1) return false;
  if (first_picture_shown(w)) {
    bring_up_first_picture(area);
    return true;
  }
  if (!w.has_case) return false;
  drawn_area = area;
  bring_up_scene(area);
  return true;
}

void App::Parts::bring_up_first_picture(const Rect& area) {
  FirstPicture& picture = w.review->first_picture;
  const ImGuiIO& io = ImGui::GetIO();
  if (ImGui::IsMouseDown(0) && !io.WantCaptureMouse && (io.MouseDelta.x != 0 || io.MouseDelta.y != 0)) {
    turn_about(picture.camera, picture.camera.target, io.MouseDelta.x, io.MouseDelta.y);
    picture.turned = true;
    w.wake();
  }
  Look look;
  look.background_top = rgb_of(theme().view_top);
  look.background_bottom = rgb_of(theme().view_bottom);
  look.scale = w.scale;
  std::vector<SurfacePtr> kept;
  for (const DrawnBody& body : picture.bodies) kept.push_back(body.surface);
  renderer.keep_only(kept);
  const int width = static_cast<int>(area.w), tall = static_cast<int>(area.h);
  renderer.draw(picture.bodies, {{{0, 0, area.w, area.h}, picture.camera, Shown::all, std::nullopt}}, look, width,
                tall);
  drawn = {};
  picture.shown = true;
}

RgbPicture App::Parts::picture_of_view() {
  const Rect& area = drawn_area;
  if (!gpu || !w.has_case || area.w < 1 || area.h < 1) return {};
  w.refresh();  // a command may have changed the plan or the view since the last frame
  bring_up_scene(area);
  glBindFramebuffer(GL_FRAMEBUFFER, 0);
  const Rect& r = w.views[w.active_view].rect;
  return renderer.read_picture({r.x - area.x, r.y - area.y, r.w, r.h});
}

void App::Parts::take_picture(int height) {
  const Rect& r = w.views[w.active_view].rect;
  const RgbPicture picture = read_bound_framebuffer(static_cast<int>(r.x), height - static_cast<int>(r.y + r.h),
                                                    static_cast<int>(r.w), static_cast<int>(r.h));
  const std::string name = std::exchange(w.picture_due, "");
  w.host.offer_file(name, "image/png", write_png(picture.width, picture.height, picture.rgb));
  w.say({Message::Kind::note, "Saved " + name, "", "", 0});
  w.wake();
}

}  // namespace intercusp
