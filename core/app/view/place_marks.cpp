#include "app/view/place_marks.h"

#include <algorithm>
#include <cmath>

#include "app/scene/words.h"
#include "app/theme.h"
#include "app/view/pick.h"
#include "app/view/plate_overlay.h"
#include "app/view/screen_place.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/feasibility.h"

namespace intercusp {

namespace {

constexpr std::size_t kMostPlaces = 4;    // at first: what a small screen has room for
constexpr double kWithinMm = 5.0;         // a place lies inside what it is a place of: so much does not hide it
constexpr double kBesideSectionMm = 4.0;  // further behind the plane a place says nothing about the section

bool on_panel(float x, float y, float r) {
  for (const char* over : {"view_tools", "legend", "explain", "guide", "section_box", "zone_bar", "position_bar",
                           "stability_card", "step"}) {
    const auto found = ui::widget_map().find(over);
    if (found == ui::widget_map().end()) continue;
    const Rect& p = found->second;
    if (x + r > p.x && x - r < p.x + p.w && y + r > p.y && y - r < p.y + p.h) return true;
  }
  return false;
}

// The place itself, or the nearest spot around it where neither a panel nor another mark stands.
std::optional<ImVec2> free_spot(const View& v, ImVec2 point, const std::vector<PlaceMark>& taken) {
  const float r = number_disc_radius();
  for (float reach = 0; reach <= px(70); reach += px(12)) {
    const int turns = reach > 0 ? 12 : 1;
    for (int turn = 0; turn < turns; ++turn) {
      const float a = static_cast<float>(kPi) * static_cast<float>(turn) / 6 - 1.6f;
      const ImVec2 c{point.x + reach * std::cos(a), point.y + reach * std::sin(a)};
      if (!v.rect.contains(c.x - r, c.y - r) || !v.rect.contains(c.x + r, c.y + r) || on_panel(c.x, c.y, r)) continue;
      if (std::none_of(taken.begin(), taken.end(), [&](const PlaceMark& t) {
            return std::hypot(t.centre.x - c.x, t.centre.y - c.y) < 2 * r + px(2);
          }))
        return c;
    }
  }
  return std::nullopt;
}

bool beside_section(const Workspace& w, const Vec3& at) {
  const auto plane = section_plane(w);
  if (!plane) return true;
  const double above = (at - plane->first).dot(plane->second);
  return above < 0.5 && above > -kBesideSectionMm;
}

struct MarkedPoint {
  Vec3 at;
  bool quiet = false;
};

// What the page that is open lists.
std::vector<MarkedPoint> marked_points(const Workspace& w) {
  std::vector<MarkedPoint> out;
  if (w.clearance_page == ClearancePage::plates) {
    if (!w.plates.of(w.readings.version())) return out;
    for (const PlateGap& gap : w.plates.found()) out.push_back({plate_middle(gap), plate_fits(gap)});
    return out;
  }
  if (w.clearance_page == ClearancePage::taken_off && w.chosen_clearance < 0) return out;
  const auto& rows = w.contacts.clearance();
  for (std::size_t i = 0; i < shown_places(w); ++i) out.push_back({rows[i].at, rows[i].planned});
  return out;
}

}  // namespace

std::size_t listed_places(const Workspace& w) {
  const auto& rows = w.contacts.clearance();
  const auto deep =
      std::count_if(rows.begin(), rows.end(), [](const ClearanceRow& r) { return r.depth_mm >= kTouchingDepthMm; });
  return std::max<std::size_t>(rows.empty() ? 0 : 1, static_cast<std::size_t>(deep));
}

std::size_t shown_places(const Workspace& w) {
  return w.all_places ? listed_places(w) : std::min(listed_places(w), kMostPlaces);
}

float number_disc_radius() {
  return px(10);
}

std::vector<PlaceMark> place_marks(const Workspace& w, std::size_t index) {
  std::vector<PlaceMark> out;
  if (w.stop != Stop::clearance || w.moment() == Moment::rest) return out;
  const View& v = w.views[index];
  const Vec3 towards = v.camera.towards_viewer();
  const std::vector<MarkedPoint> points = marked_points(w);
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Vec3& at = points[i].at;
    const int chosen = w.clearance_page == ClearancePage::plates ? w.chosen_plate : w.chosen_clearance;
    if (static_cast<int>(i) == chosen || !beside_section(w, at)) continue;
    const ImVec2 p = screen_place(v, at);
    if (!v.rect.contains(p.x, p.y)) continue;
    const auto spot = free_spot(v, p, out);
    if (spot)
      out.push_back({static_cast<int>(i), points[i].quiet, p, *spot, !visible(w, index, at + kWithinMm * towards)});
  }
  return out;
}

void number_disc(ImDrawList* list, ImVec2 c, int number, bool filled, bool quiet) {
  const Theme& t = theme();
  const ImU32 ink = quiet ? t.soft : t.overlap_text;
  const float r = number_disc_radius();
  list->AddCircleFilled(c, r, t.panel, 24);
  if (filled) list->AddCircleFilled(c, r - px(1), ink, 24);
  if (!filled) list->AddCircle(c, r - px(1), ink, 24, px(1.5f));
  ui::put_text(list, fonts().small_strong, c.x, std::floor(c.y - 0.5f * fonts().small_strong->FontSize),
               filled ? t.panel : ink, std::to_string(number), 0.5f);
}

void draw_place_marks(const Workspace& w, std::size_t index, ImDrawList* list, Labels& labels) {
  const float r = number_disc_radius(), half = touch_input() ? px(22) : r;
  const std::vector<PlaceMark> marks = place_marks(w, index);
  for (const PlaceMark& m : marks) {  // below every disc
    if (std::hypot(m.centre.x - m.point.x, m.centre.y - m.point.y) <= r) continue;
    list->AddLine(m.point, m.centre, with_alpha(theme().panel, 0.85f), px(4));
    list->AddLine(m.point, m.centre, theme().overlap_text, px(1.5f));
    list->AddCircleFilled(m.point, px(2.5f), theme().overlap_text, 12);
  }
  for (const PlaceMark& m : marks) {
    number_disc(list, m.centre, m.row + 1, !m.behind, m.quiet);
    labels.keep_free({m.centre.x - r, m.centre.y - r, 2 * r, 2 * r});
    ui::note_rect((index == 0 ? "place_mark." : "place_mark." + std::to_string(index) + ".") + std::to_string(m.row),
                  {m.centre.x - half, m.centre.y - half}, {m.centre.x + half, m.centre.y + half});
  }
}

std::optional<int> place_under(const Workspace& w, std::size_t index, float x, float y) {
  std::optional<int> row;
  float nearest = touch_input() ? px(22) : number_disc_radius() + px(2);
  for (const PlaceMark& m : place_marks(w, index)) {
    const float d = std::hypot(x - m.centre.x, y - m.centre.y);
    if (d >= nearest) continue;
    nearest = d;
    row = m.row;
  }
  return row;
}

void go_to_place(Workspace& w, int row) {
  run(w, w.clearance_page == ClearancePage::plates ? "plate" : "clearance", {{"index", row}});
}

}  // namespace intercusp
