#include "app/work/view_json.h"

#include "app/scene/note_quantities.h"
#include "app/view/layout.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

bool read_numbers(const nlohmann::json& json, double* out, std::size_t count) {
  if (!json.is_array() || json.size() != count) return false;
  for (std::size_t i = 0; i < count; ++i) {
    if (!json[i].is_number()) return false;
    out[i] = json[i].get<double>();
    if (!std::isfinite(out[i])) return false;
  }
  return true;
}

const char* shown_name(Shown s) {
  return s == Shown::upper ? "upper" : s == Shown::lower ? "lower" : "all";
}

}  // namespace

nlohmann::json camera_json(const Camera& c) {
  const Eigen::Quaterniond& q = c.view_from_patient;
  return {{"rotation", {q.w(), q.x(), q.y(), q.z()}},
          {"target", {c.target.x(), c.target.y(), c.target.z()}},
          {"half_height_mm", c.half_height_mm}};
}

bool read_camera(const nlohmann::json& json, Camera& c) {
  const auto* rotation = member(json, "rotation");
  const auto* target = member(json, "target");
  const auto height = number_at(json, "half_height_mm");
  double q[4], t[3];
  if (!rotation || !target || !height || *height < 0.5 || *height > 1000) return false;
  if (!read_numbers(*rotation, q, 4) || !read_numbers(*target, t, 3)) return false;
  const Eigen::Quaterniond turned(q[0], q[1], q[2], q[3]);
  if (turned.norm() < 0.1) return false;
  c.view_from_patient = turned.normalized();
  c.target = Vec3(t[0], t[1], t[2]);
  c.half_height_mm = *height;
  return true;
}

nlohmann::json view_json(const Workspace& w) {
  nlohmann::json views = nlohmann::json::array();
  for (const View& v : w.views) {
    nlohmann::json one = camera_json(v.camera);
    one["record"] = v.record;
    one["shown"] = shown_name(v.shown);
    views.push_back(one);
  }
  return {{"layout", w.tool == Tool::click_teeth ? w.layout_before : w.layout},
          {"views", views},
          {"stop", stop_name(w.stop)},
          {"plan", w.plan},
          {"segment", w.segment},
          {"ghost", w.ghost},
          {"contact_map", w.gap.on},
          {"contact_limit_mm", w.gap.limit_mm}};
}

void read_view(Workspace& w, const nlohmann::json& view) {
  if (const auto layout = text_at(view, "layout"))
    if (*layout == "one" || *layout == "two" || *layout == "four" || *layout == "record") w.layout = *layout;
  if (const auto name = text_at(view, "stop"))
    if (const auto stop = stop_of(*name)) w.stop = *stop;
  if (const auto name = text_at(view, "plan"))
    if (w.now().find_plan(*name)) w.plan = *name;
  if (const auto name = text_at(view, "segment"))
    if (segment_words(*name) != *name) w.segment = *name;  // another is chosen where it cannot move
  w.ghost = flag_at(view, "ghost").value_or(w.ghost);
  w.gap.on = flag_at(view, "contact_map").value_or(w.gap.on);
  const auto* list = member(view, "views");
  if (!list || !list->is_array() || list->empty() || list->size() > 5) return;
  w.views.resize(list->size());
  bool all = true;
  for (std::size_t i = 0; i < list->size(); ++i) {
    View& v = w.views[i];
    all &= read_camera((*list)[i], v.camera);
    v.record = text_at((*list)[i], "record").value_or("");
    const std::string shown = text_at((*list)[i], "shown").value_or("all");
    v.shown = shown == "upper" ? Shown::upper : shown == "lower" ? Shown::lower : Shown::all;
  }
  w.fit_due = !all;
}

}  // namespace intercusp
