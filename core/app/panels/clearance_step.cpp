// The clearance list: every place where something meets something, worst first.
#include <algorithm>

#include "app/panels/panels.h"
#include "app/scene/note_quantities.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/view/key_table.h"
#include "app/view/place_marks.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/feasibility.h"

namespace intercusp {

namespace {

constexpr double kFullBarMm = 2.0;

// What would come off; of bone also what that comes near.
// Of teeth nothing is taken off because they are planned too deep.
bool bone_is_met(const ClearanceRow& r) {
  return !is_dental(r.first) || !is_dental(r.second);
}

std::string amounts_of(const ClearanceRow& r) {
  if (!r.touches.empty()) return (r.volume_mm3 ? amount(*r.volume_mm3, 0) + " mm\xC2\xB3, " : "") + r.touches;
  std::string words =
      r.thickness_mm > 0 ? amount(r.thickness_mm, 1) + " mm thick" : amount(r.area_mm2, 1) + " mm\xC2\xB2";
  return words + (!r.volume_mm3    ? ", volume not defined: open scan"
                  : bone_is_met(r) ? ", " + amount(*r.volume_mm3, 1) + " mm\xC2\xB3 to remove"
                                   : ", " + amount(*r.volume_mm3, 1) + " mm\xC2\xB3 shared");
}

void row(Workspace& w, int index, const ClearanceRow& r) {
  const Theme& t = theme();
  const float width = ImGui::GetContentRegionAvail().x;
  // While a hand moves the bones depths are told to a tenth.
  const std::string depth = r.about ? "about " + amount(r.depth_mm, 1) + " mm" : amount(r.depth_mm, 2) + " mm";
  const std::string amounts = amounts_of(r);
  const float indent = 2 * number_disc_radius() + px(6);
  const float room = width - indent - ui::text_width(fonts().strong, depth) - px(18);
  // What is in the way is said to the end, on two lines where it takes them.
  const float name = ui::lines_height(fonts().strong, capital(r.site), room);
  const float below = ui::lines_height(fonts().small, amounts, width - px(6));
  const float h = px(4) + name + px(16) + below + px(6);
  const ui::AreaState s = ui::area(("clearance." + std::to_string(index)).c_str(), {width, h});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const bool chosen = w.chosen_clearance == index;
  if (s.hovered || chosen) list->AddRectFilled({from.x - px(6), from.y}, to, chosen ? t.accent_ground : t.hover, px(6));
  // The number that the place has on the model.
  number_disc(list, {from.x + number_disc_radius(), from.y + px(4) + 0.5f * fonts().strong->FontSize}, index + 1, true,
              r.planned);
  ui::put_lines(list, fonts().strong, from.x + indent, from.y + px(4), room, t.text, capital(r.site));
  ui::put_text(list, fonts().strong, to.x - px(6), from.y + px(4), t.overlap_text, depth, 1);
  const float bar = static_cast<float>(std::min(1.0, r.depth_mm / kFullBarMm)) * (width - px(12));
  const float top = from.y + px(4) + name + px(4);
  const ImVec2 a{from.x, top}, b{from.x + std::max(px(3), bar), top + px(6)};
  list->AddRectFilled({a.x, a.y}, {from.x + width - px(12), b.y}, t.raised, px(2));
  list->AddRectFilled(a, b, t.overlap, px(2));
  ui::hatch(list, a, b, with_alpha(t.panel, 0.5f), px(5));
  ui::put_lines(list, fonts().small, from.x, b.y + px(4), width - px(6), r.touches.empty() ? t.soft : t.overlap_text,
                amounts);
  if (s.clicked) run(w, "clearance", {{"index", index}});
}

// The worst places first; the others that are more than touching are one click away.
void list_places(Workspace& w, const std::vector<ClearanceRow>& rows) {
  const std::size_t listed = listed_places(w), shown = shown_places(w);
  const auto planned = static_cast<std::size_t>(
      std::count_if(rows.begin(), rows.end(), [](const ClearanceRow& r) { return r.planned; }));
  if (planned > 0 && planned < rows.size() && rows.front().depth_mm >= kTouchingDepthMm)
    ui::paragraph(fonts().strong, theme().text, "Not planned");
  for (std::size_t i = 0; i < shown; ++i) {
    const bool first_planned = rows[i].planned && (i == 0 || !rows[i - 1].planned);
    if (first_planned) ui::paragraph(fonts().strong, theme().text, "Planned: the wedge along the cut");
    row(w, static_cast<int>(i), rows[i]);
  }
  if (listed > shown || w.all_places) {
    const auto deep = static_cast<std::size_t>(std::count_if(
        rows.begin(), rows.end(), [](const ClearanceRow& r) { return r.planned && r.depth_mm >= kTouchingDepthMm; }));
    std::string all = "All " + std::to_string(listed - deep) + " places";
    if (deep > 0) all += " and " + std::to_string(deep) + " planned";
    if (ui::link("clearance.all", w.all_places ? "Only the deepest" : all.c_str())) w.all_places = !w.all_places;
  }
  if (const std::size_t more = rows.size() - listed)
    ui::soft_text((std::to_string(more) + (more == 1 ? " place" : " places") + " under " + amount(kTouchingDepthMm, 1) +
                   " mm not listed.")
                      .c_str());
}

// What the position shown does not show: the teeth meet before the jaw is there.
void list_the_way(Workspace& w) {
  const Plan* plan = w.shown_plan();
  if (!plan || w.moment() == Moment::rest || !w.way.of(way_key(w)) || w.way.found().empty()) return;
  ui::gap_above(8);
  ui::paragraph(fonts().strong, theme().text, "On the way there");
  for (const PathOverlap& way : w.way.found()) {
    if (way.entry >= plan->entries.size()) continue;
    const PlanEntry& entry = plan->entries[way.entry];
    const std::string jaw = segment_words(entry.kind == PlanEntry::Kind::closing ? "lower" : entry.segment);
    const std::string step =
        "Step " + std::to_string(way.entry + 1) + " (" + jaw + "): teeth pass through each other by up to ";
    ui::paragraph(fonts().body, theme().overlap_text,
                  (step + amount(way.deepest_mm, 2) + " mm (" + teeth_words(way) + ").").c_str());
  }
  ui::soft_text("Open the jaw before it is moved, and close it afterwards.");
}

void say_what_is_not_checked(const Workspace& w) {
  const auto& bodies = w.now().bodies;
  if (std::any_of(bodies.begin(), bodies.end(), [](const Body& b) { return !is_dental(b.name); })) return;
  ui::gap_above(8);
  ui::soft_text("Teeth only: this case holds no bone, so whether bone is in the way was not checked.");
}

void in_way_page(Workspace& w) {
  const std::vector<ClearanceRow> rows = w.contacts.clearance();
  if (rows.empty()) {
    ui::paragraph(fonts().body, theme().text,
                  "Nothing overlaps: upper and lower teeth are free of each other in this position.");
    if (const auto& nearest = w.contacts.nearest())
      ui::soft_text(
          ("Nearest to touching: " + nearest->site + ", " + amount(nearest->gap_mm, 2) + " mm apart.").c_str());
  } else if (rows.front().depth_mm < kTouchingDepthMm) {
    ui::paragraph(fonts().body, theme().text, "The teeth touch, and nothing runs deeper than scans can err.");
    ui::gap_above(8);
    list_places(w, rows);
  } else {
    ui::soft_text((std::string("Overlaps, deepest first. ") + (touch_input() ? "Tap" : "Click") +
                   " one to see it in section with a millimetre grid.")
                      .c_str());
    ui::gap_above(8);
    list_places(w, rows);
  }
  list_the_way(w);
  say_what_is_not_checked(w);
  ui::gap_above(12);
  bool map = w.gap.on;
  if (ui::toggle("contact_map.step", "Colour the gap on the teeth", map, key_hint("contact_map.step").c_str()))
    run(w, "contact_map", {{"on", map}});
}

void page_choice(Workspace& w) {
  const struct {
    ClearancePage page;
    const char *words, *hint;
  } pages[] = {{ClearancePage::in_way, "In the way", "What overlaps in this position"},
               {ClearancePage::taken_off, "Taken off", "What is left after removal with a clearance"},
               {ClearancePage::plates, "Plates", "Gaps, steps and screws where plates go"}};
  for (const auto& p : pages) {
    ui::ButtonLook look;
    look.weight = ui::Weight::quiet;
    look.chosen = w.clearance_page == p.page;
    look.hint = p.hint;
    const std::string name = clearance_page_name(p.page);
    if (ui::button(("clearance_page." + name).c_str(), p.words, look)) run(w, "clearance_page", {{"name", name}});
    if (p.page != ClearancePage::plates) ImGui::SameLine(0, px(2));
  }
  ui::gap_above(4);
}

}  // namespace

void clearance_step(Workspace& w) {
  page_choice(w);
  if (!w.contacts.trouble().empty()) {
    ui::paragraph(fonts().body, theme().text, w.contacts.trouble().c_str());
    return;
  }
  if (w.clearance_page == ClearancePage::in_way) in_way_page(w);
  if (w.clearance_page == ClearancePage::taken_off) removal_page(w);
  if (w.clearance_page == ClearancePage::plates) plate_page(w);
  if (w.section.on && ui::button("section.off", "Close the section")) {
    w.section = {};
    w.chosen_clearance = -1;
    run(w, "view", {{"name", "front"}});
  }
}

}  // namespace intercusp
