#include "app/view/cut_overlay.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "app/scene/words.h"
#include "app/theme.h"
#include "app/view/pick.h"
#include "app/view/screen_distance.h"
#include "app/view/screen_place.h"
#include "app/widgets/widgets.h"

namespace intercusp {

namespace {

constexpr std::size_t kNamed = 4;     // places that the chosen cut comes near, in the view
constexpr double kUnderBoneMm = 9.0;  // a root lies so deep in its bone; what lies deeper belongs to the other side
constexpr float kCutReach = 8;        // logical px

bool faces(const View& v, const CutLineStretch& s) {
  return s.outward.dot(v.camera.towards_viewer()) > 0.05;
}

// No label may lie on the chosen line: cells along it are kept free.
void keep_line_free(const std::vector<std::pair<ImVec2, ImVec2>>& seen, Labels& labels) {
  const float cell = px(20);
  std::set<std::pair<int, int>> cells;
  for (const auto& [a, b] : seen)
    cells.emplace(static_cast<int>(std::floor(a.x / cell)), static_cast<int>(std::floor(a.y / cell)));
  for (const auto& [i, j] : cells)
    labels.keep_free({static_cast<float>(i) * cell, static_cast<float>(j) * cell, cell, cell});
}

void draw_lines(const Workspace& w, std::size_t index, ImDrawList* list, Labels& labels, const LaidCut& cut,
                bool chosen) {
  const View& v = w.views[index];
  const Theme& t = theme();
  const ImU32 colour = !cut.trouble.empty() ? t.overlap_text : chosen ? t.accent : t.soft;
  std::vector<std::pair<ImVec2, ImVec2>> seen;
  for (const CutLineStretch& s : cut.lines)
    if (faces(v, s) && visible(w, index, 0.5 * (s.from + s.to)))
      seen.emplace_back(screen_place(v, s.from), screen_place(v, s.to));
  for (const auto& [a, b] : seen) list->AddLine(a, b, with_alpha(t.panel, 0.85f), px(chosen ? 6 : 4));
  for (const auto& [a, b] : seen) list->AddLine(a, b, colour, px(chosen ? 3 : 2));
  if (chosen) keep_line_free(seen, labels);
}

constexpr float kGripRadius = 9;    // logical px
constexpr double kBeforeEnd = 2.5;  // mm from the rear end of the line to its grip
constexpr float kLeastLever = 40;   // logical px between both ends of the line: seen from the front there is no slope

/// How high the cut stands at a place seen from above, near `z`.
double height_of(const CutSurface& surface, double x, double y, double z) {
  double low = z - 40, high = z + 40;
  for (int round = 0; round < 36; ++round) {
    const double middle = 0.5 * (low + high);
    (surface.value({x, y, middle}) < 0 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

double slope_limit(CutKind kind, const std::string& key, double value) {
  for (const CutSetting& s : cut_settings(kind))
    if (s.key == key) return std::clamp(value, s.least, s.most);
  return value;
}

/// The slope with which the cut stands at a height at its grip: it rises with the slope, since the grip lies behind.
double slope_through(const Workspace& w, const Osteotomy& before, const std::vector<std::string>& keys, const Vec3& end,
                     double height) {
  double low = slope_limit(before.kind, keys.front(), -90), high = slope_limit(before.kind, keys.front(), 90);
  for (int round = 0; round < 16; ++round) {
    const double middle = 0.5 * (low + high);
    Osteotomy tried = before;
    for (const std::string& key : keys) tried.settings[key] = middle;
    const auto placed = place_osteotomy(tried, w.laid_cuts.points(), {});
    if (!placed) return before.settings.at(keys.front());
    const bool under = height_of(placed.value().front().surface, end.x(), end.y(), end.z()) < height;
    (under ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

std::map<std::string, double> dragged_slope(const Workspace& w, const CutGrip& grip, const Osteotomy& before,
                                            double up_mm, bool one_side, bool fine) {
  const bool alike = before.settings.at("slope_right_deg") == before.settings.at("slope_left_deg");
  std::vector<std::string> keys{grip.right ? "slope_right_deg" : "slope_left_deg"};
  if (alike && !one_side) keys.emplace_back(grip.right ? "slope_left_deg" : "slope_right_deg");
  const double wanted = slope_through(w, before, keys, *grip.end, grip.end->z() + up_mm);
  const double step = fine ? 0.1 * w.nudge_deg : w.nudge_deg;
  const double value = slope_limit(before.kind, keys.front(), std::round(wanted / step) * step);
  std::map<std::string, double> out;
  for (const std::string& key : keys) out[key] = value;
  return out;
}

void draw_slope_grip(const Workspace& w, std::size_t index, ImDrawList* list, Labels& labels) {
  const auto grip = slope_grip(w, index);
  if (!grip) return;
  const Theme& t = theme();
  const ImVec2 c = screen_place(w.views[index], *grip->end);
  const float r = px(kGripRadius);
  list->AddCircleFilled(c, r + px(2), t.panel, 24);
  list->AddCircleFilled(c, r, t.accent, 24);
  for (const float way : {-1.0f, 1.0f}) {
    const float tip = c.y + way * px(6), base = c.y + way * px(2);
    list->AddTriangleFilled({c.x - px(4), base}, {c.x + px(4), base}, {c.x, tip}, t.on_accent);
  }
  labels.keep_free({c.x - r, c.y - r, 2 * r, 2 * r});
  ui::note_rect(grip->right ? "cut.slope_right" : "cut.slope_left", {c.x - r, c.y - r}, {c.x + r, c.y + r});
  const LaidCut* cut = w.laid_cuts.find(CutKind::lefort1);
  const double slope = cut->cut.settings.at(grip->right ? "slope_right_deg" : "slope_left_deg");
  labels.add(c, "rises back " + signed_amount(slope, 1) + "\xC2\xB0", t.text);
}

void name_near_places(const Workspace& w, std::size_t index, ImDrawList* list, Labels& labels, const LaidCut& cut) {
  const View& v = w.views[index];
  std::size_t named = 0;
  std::set<std::string> teeth;  // tip and surface of one root are named once, by the nearer
  for (const CutClearance& c : cut.clearances) {
    if (named == kNamed) break;
    if (c.root && !teeth.insert(c.landmark.substr(0, 2)).second) continue;
    const bool near = c.too_near();
    const ImVec2 p = screen_place(v, c.at);
    if (!v.rect.contains(p.x, p.y)) continue;
    // Solid in the open or through a jaw seen through; a ring in the bone before it; behind the skull nothing.
    const bool open = visible(w, index, c.at);
    if (!open && !visible(w, index, c.at + kUnderBoneMm * v.camera.towards_viewer())) continue;
    const ImU32 colour = near ? theme().overlap_text : theme().text;
    list->AddCircleFilled(p, px(4.5f), with_alpha(theme().panel, open ? 1.0f : 0.6f));
    open ? list->AddCircleFilled(p, px(3), colour) : list->AddCircle(p, px(3), colour, 16, px(1.5f));
    labels.add(p, landmark_words(c.landmark) + " " + signed_amount(c.distance_mm, 1) + " mm" + (near ? ", near" : ""),
               colour, near);
    ++named;
  }
}

}  // namespace

void draw_cut_lines(const Workspace& w, std::size_t index, ImDrawList* list, Labels& labels) {
  if (w.stop != Stop::cuts) return;
  for (const LaidCut& cut : w.laid_cuts.all()) draw_lines(w, index, list, labels, cut, cut.cut.kind == w.chosen_cut);
  if (const LaidCut* chosen = w.laid_cuts.find(w.chosen_cut)) name_near_places(w, index, list, labels, *chosen);
  draw_slope_grip(w, index, list, labels);
}

std::optional<CutGrip> slope_grip(const Workspace& w, std::size_t index) {
  const LaidCut* cut = w.stop == Stop::cuts && w.chosen_cut == CutKind::lefort1 && w.tool == Tool::turn
                           ? w.laid_cuts.find(CutKind::lefort1)
                           : nullptr;
  if (!cut || cut->lines.empty()) return std::nullopt;
  const View& v = w.views[index];
  const auto& frame = w.readings.start().input.frame;
  const double middle = frame ? frame->origin.x() : 0;
  const double towards = v.camera.towards_viewer().x();
  if (std::abs(towards) < 0.3) return std::nullopt;
  const bool right = towards < 0;
  double end = -1e9;
  for (const CutLineStretch& s : cut->lines) end = std::max({end, s.from.y(), s.to.y()});
  std::vector<Vec3> along;  // from the rear end forwards
  for (const CutLineStretch& s : cut->lines) {
    const Vec3 at = 0.5 * (s.from + s.to);
    if ((at.x() < middle) == right && faces(v, s) && at.y() < end - kBeforeEnd) along.push_back(at);
  }
  std::sort(along.begin(), along.end(), [](const Vec3& a, const Vec3& b) { return a.y() > b.y(); });
  const auto last = std::find_if(along.begin(), along.end(), [&](const Vec3& p) { return visible(w, index, p); });
  if (last == along.end()) return std::nullopt;
  const ImVec2 a = screen_place(v, along.back()), b = screen_place(v, *last);
  if (std::hypot(a.x - b.x, a.y - b.y) < px(kLeastLever)) return std::nullopt;
  return CutGrip{CutKind::lefort1, right, *last};
}

std::optional<CutGrip> cut_under(const Workspace& w, std::size_t index, float x, float y) {
  if (w.stop != Stop::cuts || w.tool != Tool::turn) return std::nullopt;
  const View& v = w.views[index];
  if (std::abs(v.camera.view_from_patient.toRotationMatrix()(1, 2)) < 0.3) return std::nullopt;  // up is seen end-on
  if (const auto grip = slope_grip(w, index)) {
    const ImVec2 c = screen_place(v, *grip->end);
    if (std::hypot(c.x - x, c.y - y) < px(touch_input() ? 22 : kGripRadius + 2)) return grip;
  }
  const double middle = w.readings.start().input.frame ? w.readings.start().input.frame->origin.x() : 0;
  std::optional<CutGrip> best;
  float nearest = px(touch_input() ? 2.5f * kCutReach : kCutReach);
  for (const LaidCut& cut : w.laid_cuts.all()) {
    if (cut.cut.kind == CutKind::pieces) continue;
    for (const CutLineStretch& s : cut.lines) {
      if (!faces(v, s)) continue;
      const float d = distance_to_stretch({x, y}, screen_place(v, s.from), screen_place(v, s.to));
      if (d >= nearest || !visible(w, index, 0.5 * (s.from + s.to))) continue;
      nearest = d;
      best = CutGrip{cut.cut.kind, s.from.x() < middle, std::nullopt};
    }
  }
  return best;
}

std::map<std::string, double> dragged_settings(const Workspace& w, const CutGrip& grip, const Osteotomy& before,
                                               double up_mm, bool one_side, bool fine) {
  if (grip.end) return dragged_slope(w, grip, before, up_mm, one_side, fine);
  const double step = fine ? 0.1 * w.nudge_mm : w.nudge_mm;
  const auto moved = [&](const std::string& key, double by) {
    double value = std::round((before.settings.at(key) + by) / step) * step;
    for (const CutSetting& s : cut_settings(grip.kind))
      if (s.key == key) value = std::clamp(value, s.least, s.most);
    return std::make_pair(key, value);
  };
  if (grip.kind == CutKind::chin) return {moved("level_mm", -up_mm)};  // counted downwards from the apices
  if (grip.kind != CutKind::lefort1) return {moved("level_mm", up_mm)};
  const bool level = before.settings.at("level_right_mm") == before.settings.at("level_left_mm");
  if (level && !one_side) return {moved("level_right_mm", up_mm), moved("level_left_mm", up_mm)};
  return {moved(grip.right ? "level_right_mm" : "level_left_mm", up_mm)};
}

double mm_up(const View& view, float dy) {
  const double up = view.camera.view_from_patient.toRotationMatrix()(1, 2);
  return -static_cast<double>(dy) / (Projection{view.camera, view.rect}.px_per_mm() * up);
}

}  // namespace intercusp
