#include "app/view/hands.h"

#include <algorithm>
#include <cmath>

#include <nlohmann/json.hpp>

#include "app/scene/words.h"
#include "app/theme.h"
#include "app/view/arrow_keys.h"
#include "app/view/layout.h"
#include "app/view/loupe.h"
#include "app/view/overlay.h"
#include "app/view/pick.h"
#include "app/view/place_marks.h"
#include "app/view/review_overlay.h"
#include "app/work/commands.h"
#include "app/work/practice.h"

namespace intercusp {

namespace {

constexpr float kClickPx = 4;  // a press that moves less is a click

std::optional<std::size_t> view_under(const Workspace& w, float x, float y) {
  for (std::size_t i = 0; i < w.views.size(); ++i)
    if (w.views[i].rect.contains(x, y)) return i;
  return std::nullopt;
}

// The nearest landmark dot within reach of the pointer.
std::string landmark_under(const Workspace& w, std::size_t index, float x, float y) {
  if (w.stop != Stop::records && w.tool != Tool::choose_pivot) return {};
  const Projection p{w.views[index].camera, w.views[index].rect};
  std::string best;
  double nearest = px(touch_input() ? 22 : 9);
  for (const auto& [name, at] : w.readings.now().points) {
    const double d = (p.pixel(at) - Eigen::Vector2d(x, y)).norm();
    if (d >= nearest || !landmark_shown(w, w.views[index], name) || !visible(w, index, at)) continue;
    nearest = d;
    best = name;
  }
  return best;
}

// The brush in its true size; what it does stands in its bar, not over the teeth.
void draw_brush(const Workspace& w, std::size_t over, ImDrawList* front, float x, float y) {
  const View& v = w.views[over];
  const auto r = static_cast<float>(w.brush_mm * Projection{v.camera, v.rect}.px_per_mm());
  front->AddCircle({x, y}, r, theme().panel, 40, px(4));
  front->AddCircle({x, y}, r, theme().accent, 40, px(2));
}

// How the chosen Le Fort I or chin rises backwards, both sides together.
void nudge_slope(Workspace& w, double deg) {
  const LaidCut* cut = w.laid_cuts.find(w.chosen_cut);
  if (!cut) return;
  std::map<std::string, double> settings;
  for (const CutSetting& s : cut_settings(w.chosen_cut))
    if (s.key.rfind("slope", 0) == 0) settings[s.key] = std::clamp(cut->cut.settings.at(s.key) + deg, s.least, s.most);
  if (settings.empty()) return;
  run(w, "cut", {{"kind", cut_kind_name(w.chosen_cut)}, {"settings", settings}, {"merge", "nudge_slope"}});
}

// The chosen cut up or down, both sides together.
void nudge_cut(Workspace& w, double up_mm) {
  const LaidCut* cut = w.laid_cuts.find(w.chosen_cut);
  if (!cut || w.chosen_cut == CutKind::pieces) return;
  run(w, "cut",
      {{"kind", cut_kind_name(w.chosen_cut)},
       {"settings", dragged_settings(w, {w.chosen_cut, true, std::nullopt}, cut->cut, up_mm, false, false)},
       {"merge", "nudge"}});
}

/// Where a click with the ruler lands: on the plane of a section that is looked at, else on the nearest surface.
std::optional<Vec3> ruled_place(const Workspace& w, std::size_t view, float x, float y) {
  constexpr double kFacing = 0.7;
  const View& v = w.views[view];
  const Vec3 away = v.camera.towards_viewer();
  if (const auto plane = section_plane(w); plane && std::abs(plane->second.dot(away)) > kFacing) {
    const Vec3 p = Projection{v.camera, v.rect}.point(x, y, 0);
    return Vec3(p + (plane->first - p).dot(plane->second) / away.dot(plane->second) * away);
  }
  const auto hit = pick_near(w, view, x, y);
  return hit ? std::optional<Vec3>(hit->patient) : std::nullopt;
}

void click_tooth(Workspace& w, std::size_t view, float x, float y) {
  const auto hit = pick_near(w, view, x, y);
  if (hit) w.clicks_due.push_back({hit->body, w.now().patient_from_scans * hit->scan});
}

}  // namespace

void Hands::begin_pan(Workspace& w, std::size_t view, float x, float y) {
  drag_ = Drag::pan;
  view_ = w.active_view = view;
  press_x_ = x;
  press_y_ = y;
}

void Hands::press(Workspace& w, std::size_t view, float x, float y) {
  view_ = w.active_view = view;
  press_x_ = x;
  press_y_ = y;
  drag_ = Drag::pressed;
  w.glide.reset();
  if (w.tool == Tool::paint_zone && pick(w, view, x, y)) {
    drag_ = Drag::paint;
    last_dab_.reset();
    w.document.seal();
    return paint_at(w, x, y);
  }
  if (w.tool == Tool::rule) {
    grabbed_landmark_.clear();
    fixed_ = ruled_place(w, view, x, y).value_or(w.views[view].camera.target);
    return;
  }
  const std::string part = Handle::part_at(w, view, x, y);
  if (!part.empty()) {
    handle_.grab(w, view, part, x, y);
    if (handle_.held()) drag_ = Drag::handle;
    w.document.seal();
    return;
  }
  if (const auto grip = cut_under(w, view, x, y)) return begin_cut(w, *grip);
  grabbed_landmark_ = w.tool == Tool::turn ? landmark_under(w, view, x, y) : "";
  const auto hit = pick(w, view, x, y);
  fixed_ = hit ? hit->patient : w.views[view].camera.target;
}

void Hands::begin_cut(Workspace& w, const CutGrip& grip) {
  const LaidCut* cut = w.laid_cuts.find(grip.kind);
  if (!cut) return;
  held_cut_ = HeldCut{grip, cut->cut};
  drag_ = Drag::cut;
  w.document.seal();
  run(w, "choose_cut", {{"kind", cut_kind_name(grip.kind)}});
}

void Hands::drag_cut(Workspace& w, float y) {
  const ImGuiIO& io = ImGui::GetIO();
  const double up = mm_up(w.views[std::min(view_, w.views.size() - 1)], y - press_y_);
  w.dragging = true;
  run(w, "cut",
      {{"kind", cut_kind_name(held_cut_->grip.kind)},
       {"settings", dragged_settings(w, held_cut_->grip, held_cut_->before, up, io.KeyShift, io.KeyAlt)},
       {"merge", held_cut_->grip.end ? "drag_slope" : "drag"}});
}

// The brush touches the surface anew once it has gone a third of its radius.
void Hands::paint_at(Workspace& w, float x, float y) {
  const auto hit = pick(w, view_, x, y);
  if (!hit || !w.now().find_body(hit->body)) return;
  if (last_dab_ && (*last_dab_ - hit->scan).norm() < w.brush_mm / 3) return;
  last_dab_ = hit->scan;
  const bool erase = w.erasing != ImGui::GetIO().KeyAlt;
  run(w, "zone_dab",
      {{"body", hit->body},
       {"at", {hit->scan.x(), hit->scan.y(), hit->scan.z()}},
       {"erase", erase},
       {"merge", "zone"}});
}

void Hands::drag(Workspace& w, float x, float y, float dx, float dy) {
  if (drag_ == Drag::pressed && std::hypot(x - press_x_, y - press_y_) > px(kClickPx))
    drag_ = grabbed_landmark_.empty() ? Drag::turn : Drag::landmark;
  if (dx == 0 && dy == 0) return;
  View& view = w.views[std::min(view_, w.views.size() - 1)];
  if (drag_ == Drag::handle) {
    const double v = handle_.value(w, x, y, ImGui::GetIO().KeyAlt);
    w.dragging = true;
    run(w, "set_movement", {{"segment", w.segment}, {handle_.part(), v}, {"merge", "handle"}});
  } else if (drag_ == Drag::turn && practice_holds_views(w)) {
    return;  // as of a photograph
  } else if (drag_ == Drag::turn) {
    if (!turned_) whole_before_ = whole_in_view(w, view);
    turned_ = true;
    const double scale = 1.0 / px(1);
    turn_about(view.camera, fixed_, dx * scale, dy * scale);
    view.record.clear();
    w.moving = true;
  } else if (drag_ == Drag::pan) {
    pan(view.camera, view.rect, dx, dy);
    w.moving = true;
  } else if (drag_ == Drag::cut) {
    drag_cut(w, y);
  } else if (drag_ == Drag::paint) {
    paint_at(w, x, y);
  } else if (drag_ == Drag::landmark) {
    w.dragging = true;
    place_landmark_at(w, grabbed_landmark_, view_, x, y, "landmark." + grabbed_landmark_);
  }
}

void Hands::release(Workspace& w, float x, float y) {
  if (drag_ == Drag::pressed) {
    const Rect figure = figure_rect(w.views[view_]);
    if (figure.contains(x, y)) {
      if (!practice_holds_views(w)) turn_by_figure(w, view_);
    } else if (w.tool == Tool::place_landmark) {
      place_landmark_at(w, w.landmark_wanted, view_, x, y, "");
    } else if (w.tool == Tool::rule) {
      if (const auto at = ruled_place(w, view_, x, y)) run(w, "ruler", {{"at", {at->x(), at->y(), at->z()}}});
    } else if (w.tool == Tool::click_teeth) {
      click_tooth(w, view_, x, y);
    } else if (w.tool == Tool::place_remark) {
      pin_remark_at(w, view_, x, y);
    } else if (const auto place = place_under(w, view_, x, y)) {
      go_to_place(w, *place);
    } else if (const std::string remark = remark_under(w, view_, x, y); !remark.empty()) {
      run(w, "open_remark", {{"id", remark}, {"turn", false}});
    } else if (w.tool == Tool::choose_pivot) {
      const std::string about = landmark_under(w, view_, x, y);
      if (!about.empty() && run(w, "pivot", {{"about", about}})) w.tool = Tool::turn;
    } else if (!grabbed_landmark_.empty()) {
      w.landmark_wanted = grabbed_landmark_;
    }
  }
  if (drag_ == Drag::handle || drag_ == Drag::landmark || drag_ == Drag::cut || drag_ == Drag::paint) w.document.seal();
  // A case that was whole in the view stays whole when it has been turned.
  if (turned_ && whole_before_ && !whole_in_view(w, w.views[view_]))
    glide_to(w, view_, camera_for(w, w.views[view_], "fit"));
  turned_ = false;
  held_cut_.reset();
  handle_.release();
  grabbed_landmark_.clear();
  drag_ = Drag::none;
  w.dragging = w.moving = false;
  w.wake();
}

void Hands::hover(Workspace& w, std::size_t view, float x, float y) {
  lit_ = Handle::part_at(w, view, x, y);
  if (!lit_.empty()) ImGui::SetMouseCursor(ImGuiMouseCursor_Hand);
  if (place_under(w, view, x, y)) ImGui::SetMouseCursor(ImGuiMouseCursor_Hand);
  if (lit_.empty() && cut_under(w, view, x, y)) ImGui::SetMouseCursor(ImGuiMouseCursor_ResizeNS);
}

void Hands::wheel(Workspace& w, std::size_t view, float x, float y) {
  const float turn = std::max(-3.0f, std::min(3.0f, ImGui::GetIO().MouseWheel));
  if (turn == 0) return;
  w.glide.reset();
  zoom_at(w.views[view].camera, w.views[view].rect, x, y, std::pow(1.13, turn));
  w.active_view = view;
  w.wake();
}

void Hands::point(Workspace& w, std::optional<std::size_t> over, float x, float y) {
  const ImGuiIO& io = ImGui::GetIO();
  if (drag_ != Drag::none) {
    drag(w, x, y, io.MouseDelta.x, io.MouseDelta.y);
    if (drag_ == Drag::pan) wheel(w, view_, x, y);  // two fingers pan and zoom at once
    const bool held = ImGui::IsMouseDown(0) || ImGui::IsMouseDown(1) || ImGui::IsMouseDown(2);
    if (!held) release(w, x, y);
    return;
  }
  lit_.clear();
  if (!over) return;
  if (aim_.puts()) {
    press(w, *over, x, y);
    release(w, x, y);
    return;
  }
  hover(w, *over, x, y);
  wheel(w, *over, x, y);
  // With a tool in hand the second click is another point.
  if (ImGui::IsMouseDoubleClicked(0) && lit_.empty() && w.tool == Tool::turn)
    centre_on(w, *over, x, y);
  else if (ImGui::IsMouseClicked(0))
    press(w, *over, x, y);
  else if (ImGui::IsMouseClicked(1) || ImGui::IsMouseClicked(2))
    begin_pan(w, *over, x, y);
}

void Hands::draw_pointed(Workspace& w, std::size_t over, ImDrawList* front, unsigned picture, const Rect& view_area,
                         float x, float y) {
  if (drag_ == Drag::none && w.gap.on && lit_.empty() && w.tool == Tool::turn) draw_gap_words(w, over, front, x, y);
  if (w.tool == Tool::choose_pivot) {
    const std::string name = landmark_under(w, over, x, y);
    draw_pointer_words(w, front, name.empty() ? "choose a landmark to turn about" : landmark_words(name), x, y);
  }
  if (w.tool == Tool::rule && w.rule.size() < 2)  // then the reading stands there
    draw_pointer_words(w, front, w.rule.size() == 1 ? "click the other end" : "click one end", x, y);
  if (w.tool == Tool::place_remark) draw_pointer_words(w, front, "click where the remark is to be pinned", x, y);
  if (w.tool == Tool::paint_zone) draw_brush(w, over, front, x, y);
  if (w.tool == Tool::place_landmark) draw_loupe(w, over, front, picture, view_area, x, y);
}

void Hands::frame(Workspace& w, ImDrawList* front, unsigned picture, const Rect& view_area) {
  const ImGuiIO& io = ImGui::GetIO();
  aim_.frame(w);
  const ImVec2 at = aim_.at().value_or(io.MousePos);
  const bool ours = aims() || !io.WantCaptureMouse || drag_ != Drag::none;
  const auto over = ours && w.has_case ? view_under(w, at.x, at.y) : std::nullopt;
  point(w, over, at.x, at.y);
  point_for_others(w, over, at.x, at.y);
  if (handle_.held()) lit_ = handle_.part();
  if (!lit_.empty() && (over || handle_.held())) draw_part_words(w, front, lit_, at.x, at.y);
  if (over) draw_pointed(w, *over, front, picture, view_area, at.x, at.y);
  aim_.draw(front);
}

namespace {

// The view by keys: the record's directions, turning and zooming about the middle.
void camera_keys(Workspace& w) {
  const ImGuiIO& io = ImGui::GetIO();
  static const char* const records[] = {"fit", "front", "right", "left", "upper", "lower"};
  for (int i = 0; i <= 5; ++i)
    if (ImGui::IsKeyPressed('0' + i, false)) run(w, "view", {{"name", records[i]}});
  View& view = w.views[std::min(w.active_view, w.views.size() - 1)];
  const auto turn = [&](ArrowKey key, double across, double down) {
    if (!io.KeyAlt || w.tool != Tool::turn || !ImGui::IsKeyPressed(key)) return;
    w.glide.reset();
    turn_about(view.camera, view.camera.target, across, down);
    view.record.clear();
    w.wake();
  };
  constexpr double kPull = 24;  // logical pixels of a drag
  turn(kRightArrow, kPull, 0);
  turn(kLeftArrow, -kPull, 0);
  turn(kDownArrow, 0, kPull);
  turn(kUpArrow, 0, -kPull);
  const Rect& r = view.rect;
  const auto zoom = [&](PlainKey key, double times) {
    if (!ImGui::IsKeyPressed(key)) return;
    w.glide.reset();
    zoom_at(view.camera, r, r.x + 0.5f * r.w, r.y + 0.5f * r.h, times);
    w.wake();
  };
  zoom(kPlusKey, 1.13);
  zoom(kMinusKey, 1 / 1.13);
}

// The work by keys: back and forth between the stops, and the step shown up, down, forward and back.
void work_keys(Workspace& w) {
  const ImGuiIO& io = ImGui::GetIO();
  const auto leap = [&](PlainKey key, int by) {
    const int to = static_cast<int>(w.stop) + by;
    if (ImGui::IsKeyPressed(key, false) && to >= 0 && to < kStops)
      run(w, "stop", {{"name", stop_name(static_cast<Stop>(to))}});
  };
  leap(kPageUp, -1);
  leap(kPageDown, 1);
  if (io.NavVisible || io.KeyAlt || w.tool != Tool::turn) return;
  const double steps = io.KeyShift ? 10 : 1;
  if (w.stop == Stop::cuts) {
    if (ImGui::IsKeyPressed(kUpArrow)) nudge_cut(w, steps * w.nudge_mm);
    if (ImGui::IsKeyPressed(kDownArrow)) nudge_cut(w, -steps * w.nudge_mm);
    if (ImGui::IsKeyPressed(kRightArrow)) nudge_slope(w, steps * w.nudge_deg);
    if (ImGui::IsKeyPressed(kLeftArrow)) nudge_slope(w, -steps * w.nudge_deg);
  }
  if (w.stop != Stop::movement) return;
  const auto nudge = [&](ArrowKey key, const char* quantity, double sign) {
    if (ImGui::IsKeyPressed(key)) run(w, "nudge", {{"quantity", quantity}, {"steps", sign * steps}});
  };
  nudge(kUpArrow, "up", 1);
  nudge(kDownArrow, "up", -1);
  nudge(kRightArrow, "forward", 1);
  nudge(kLeftArrow, "forward", -1);
}

std::string next_layout(const Workspace& w) {
  static const char* const order[] = {"one", "two", "four", "record"};
  for (std::size_t i = 0; i < 4; ++i)
    if (w.layout == order[i]) return order[(i + 1) % 4];
  return order[0];
}

}  // namespace

void view_keys(Workspace& w) {
  const ImGuiIO& io = ImGui::GetIO();
  if (io.WantTextInput || ImGui::IsAnyItemActive()) return;
  const auto pressed = [](int key) { return ImGui::IsKeyPressed(key, false); };
  if (io.KeyCtrl || io.KeySuper) {
    if (pressed('Z')) run(w, io.KeyShift ? "redo" : "undo");
    if (pressed('Y')) run(w, "redo");
    if (pressed('S')) run(w, "save");
    if (pressed('O')) run(w, "ask_for_files");
    return;
  }
  if (!practice_holds_views(w)) camera_keys(w);
  if (pressed('/') && io.KeyShift) w.popover = Popover::keys;
  if (ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape))) run(w, "back");
  if (!practice_allows_tools(w)) return;
  if (pressed('G')) run(w, "ghost");
  if (pressed('S')) run(w, "section");
  if (pressed('C')) run(w, "contact_map");
  if (pressed('N')) run(w, "tooth_numbers");
  if (pressed('P')) run(w, "paint_zone");
  if (pressed('R')) run(w, "ruler");
  if (pressed('H')) run(w, "show_box");
  if (pressed('V')) run(w, "layout", {{"name", next_layout(w)}});
  work_keys(w);
}

}  // namespace intercusp
