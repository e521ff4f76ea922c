#include "app/view/pick.h"

#include <cmath>

#include "app/theme.h"
#include "app/work/practice.h"

namespace intercusp {

namespace {

constexpr double kFarMm = 400;

std::optional<Pick> first_hit(const Workspace& w, const View& view, Vec3 origin, const Vec3& direction, double limit,
                              bool through = false) {
  const auto cut = section_plane(w);
  if (cut) {
    const double above = (origin - cut->first).dot(cut->second), slope = direction.dot(cut->second);
    if (above > 0 && slope < -1e-9) {
      origin += direction * (above / -slope);
      limit -= above / -slope;
    }
  }
  std::optional<Pick> best;
  for (const Body& body : w.shown().bodies) {
    if (!body.surface || !body_shown(w, body, view.shown)) continue;
    if (through && (is_lower_name(segment_of_body(w.shown(), body)) ? w.through_lower : w.through_upper)) continue;
    const Pose pose = pose_of_body(w.shown(), body, w.readings.now().poses), inverse = pose.inverse();
    RayHit hit;
    if (!body.surface->bvh().ray(body.surface->mesh(), inverse * origin, inverse.linear() * direction, limit, hit))
      continue;
    limit = hit.t;
    const Vec3 patient = origin + hit.t * direction;
    best = Pick{body.name, hit.triangle, inverse * patient, patient};
  }
  return best;
}

}  // namespace

bool jaw_shown(const Workspace& w, bool lower) {
  if (!(lower ? w.show_lower : w.show_upper)) return false;
  if (w.tool != Tool::place_landmark || w.landmark_wanted.empty()) return true;
  if (practice_holds_views(w)) return true;  // one of the five pictures would be empty
  return jaw_of_landmark(w.landmark_wanted) != (lower ? Jaw::upper : Jaw::lower);
}

bool scans_alone(const Workspace& w) {
  if (w.tool == Tool::click_teeth) return true;
  return w.tool == Tool::place_landmark && lies_on_scan(w.landmark_wanted);
}

bool body_shown(const Workspace& w, const Body& body, Shown shown) {
  if (scans_alone(w) && (!is_dental(body.name) || holds_roots(body.name))) return false;
  const bool lower = is_lower_name(segment_of_body(w.shown(), body));
  if (!jaw_shown(w, lower)) return false;
  return shown == Shown::all || (shown == Shown::lower) == lower;
}

std::optional<std::pair<Vec3, Vec3>> section_plane(const Workspace& w) {
  if (!w.section.on || !w.has_case) return std::nullopt;
  if (w.section.at && w.section.normal) return std::make_pair(*w.section.at, *w.section.normal);
  const auto& frame = w.readings.start().input.frame;
  Vec3 at = frame ? frame->origin : Vec3::Zero();
  if (w.section.axis != "sagittal") {
    const bool level = w.section.axis == "level";
    const Vec3 normal = level ? (frame ? frame->up : Vec3::UnitZ()) : (frame ? frame->forward : Vec3(0, -1, 0));
    return std::make_pair(Vec3(at + w.section.place_mm * normal), normal);
  }
  const Vec3 left = frame ? frame->left : Vec3::UnitX();
  const std::string pair = w.readings.now().section.pair;
  const auto edge = w.readings.now().points.find(pair.substr(0, 2) + ".incisal_edge_mid");
  if (edge != w.readings.now().points.end()) at = edge->second;
  return std::make_pair(Vec3(at + w.section.place_mm * left), left);
}

std::optional<Pick> pick(const Workspace& w, std::size_t index, float x, float y) {
  if (!w.has_case || index >= w.views.size()) return std::nullopt;
  const View& view = w.views[index];
  const Vec3 origin = Projection{view.camera, view.rect}.point(x, y, 0.5 * kFarMm);
  return first_hit(w, view, origin, -view.camera.towards_viewer(), kFarMm);
}

std::optional<Pick> pick_near(const Workspace& w, std::size_t index, float x, float y) {
  if (auto hit = pick(w, index, x, y)) return hit;
  constexpr int kDirections = 8;
  for (const float reach : {3.0f, 6.0f, 9.0f})
    for (int i = 0; i < kDirections; ++i) {
      const float angle = static_cast<float>(i) * 6.2831853f / kDirections;
      const float dx = px(reach) * std::cos(angle), dy = px(reach) * std::sin(angle);
      if (auto hit = pick(w, index, x + dx, y + dy)) return hit;
    }
  return std::nullopt;
}

bool visible(const Workspace& w, std::size_t index, const Vec3& patient) {
  const View& view = w.views[index];
  const Vec3 towards = view.camera.towards_viewer();
  return !first_hit(w, view, patient + 0.6 * towards, towards, 0.5 * kFarMm, true);
}

}  // namespace intercusp
