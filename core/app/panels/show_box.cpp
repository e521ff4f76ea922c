// What is shown in the views and how: jaws solid, see-through or hidden, outline of the start, tooth numbers, pictures.
// And the box that moves a section.
#include "app/panels/panels.h"
#include "app/panels/popover.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/view/key_table.h"
#include "app/view/pick.h"
#include "app/widgets/quantity.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/practice.h"

namespace intercusp {

namespace {

void jaw_line(Workspace& w, const char* jaw, const char* words) {
  const bool lower = jaw == std::string("lower");
  const bool on = lower ? w.show_lower : w.show_upper, through = lower ? w.through_lower : w.through_upper;
  ui::paragraph(fonts().strong, theme().text, words);
  const struct {
    const char* id;
    const char* label;
    bool chosen;
  } looks[] = {
      {"solid", "Solid", on && !through}, {"through", "See-through", on && through}, {"hidden", "Hidden", !on}};
  for (const auto& look : looks) {
    ui::ButtonLook b;
    b.chosen = look.chosen;
    if (ui::button((std::string("show.") + jaw + "." + look.id).c_str(), look.label, b))
      run(w, "show_jaw",
          {{"jaw", jaw}, {"on", look.id != std::string("hidden")}, {"see_through", look.id == std::string("through")}});
    ImGui::SameLine(0, px(6));
  }
  ImGui::NewLine();
  ui::gap_above(6);
}

// A brush for marking a place on a body: what to leave alone, what to look at.
void zone_lines(Workspace& w) {
  ui::paragraph(fonts().strong, theme().text, "Zone");
  const std::string hint = key_hint("zone.paint");
  ui::ButtonLook look;
  look.hint = hint.c_str();
  if (ui::button("zone.paint", "Paint a zone", look)) run(w, "paint_zone", {{"on", true}});
  ImGui::SameLine(0, px(6));
  look.hint = nullptr;
  look.enabled = !w.now().zones.empty();
  if (ui::button("zone.erase", "Wipe", look)) run(w, "paint_zone", {{"on", true}, {"erase", true}});
  ImGui::SameLine(0, px(6));
  if (ui::button("zone.clear", "Clear", look)) run(w, "clear_zones");
  ui::gap_above(6);
}

}  // namespace

void show_box(Workspace& w, const Screen& s) {
  if (w.popover != Popover::show) return;
  const float width = px(340), height = px(touch_input() ? 490 : 394);
  const float top = tool_strip_height(s.view.w);
  const Rect r{std::min(s.view.x + px(248), s.view.x + s.view.w - width - px(8)), s.view.y + top, width,
               std::min(height, s.view.h - top)};
  begin_popover(w, "show_box", r, "Show");
  ui::gap_above(6);
  jaw_line(w, "upper", "Upper jaw");
  jaw_line(w, "lower", "Lower jaw");
  bool ghost = w.ghost, numbers = w.tooth_numbers;
  if (ui::toggle("show.ghost", "Outline of the start", ghost, key_hint("show.ghost").c_str()))
    run(w, "ghost", {{"on", ghost}});
  if (ui::toggle("show.numbers", "Tooth numbers", numbers, key_hint("show.numbers").c_str()))
    run(w, "tooth_numbers", {{"on", numbers}});
  ui::gap_above(6);
  zone_lines(w);
  ui::ButtonLook look;
  look.hint = "The view last used, as PNG with its scale and a caption";
  if (ui::button("show.picture", "Save a picture of the view", look)) run(w, "picture");
  end_popover(w);
}

namespace {

struct Axis {
  const char* name;
  const char* label;
  const char* more;  // where a positive place lies
  const char* less;
};

constexpr Axis kAxes[] = {{"sagittal", "From the side", "to the patient's left", "to the patient's right"},
                          {"frontal", "From the front", "in front", "behind"},
                          {"level", "From above", "higher", "lower"}};

const Axis& axis_of(const Workspace& w) {
  for (const Axis& a : kAxes)
    if (w.section.axis == a.name) return a;
  return kAxes[0];
}

std::string place_words(const Workspace& w) {
  const Axis& a = axis_of(w);
  const double v = w.section.place_mm;
  if (std::abs(v) < 0.05) return w.section.axis == "level" ? "in the occlusal plane" : "at the incisors";
  return amount(v, 1) + " mm " + (v > 0 ? a.more : a.less);
}

}  // namespace

void section_box(Workspace& w, const Rect& view) {
  if (!w.section.on || w.section.at) return;
  // After an answer the section shows what was meant; the box would stand over it.
  if (w.practice && w.practice->set.tools != PracticeTools::probe) return;
  const float h = px(20) + 2 * target_height() + px(6), width = px(346);
  const Rect r{view.x + px(12), view.y + view.h - px(40) - legend_room(w) - h, std::min(width, view.w - px(24)), h};
  begin_over_view("section_box", r, ImVec2(px(10), px(10)));
  for (const Axis& a : kAxes) {
    ui::ButtonLook look;
    look.weight = ui::Weight::quiet;
    look.chosen = w.section.axis == a.name;
    if (ui::button((std::string("section.") + a.name).c_str(), a.label, look))
      run(w, "section", {{"on", true}, {"axis", a.name}});
    ImGui::SameLine(0, px(2));
  }
  ImGui::NewLine();
  ui::QuantityLook place;
  place.words = place_words(w);
  place.value = w.section.place_mm;
  place.step = 0.5;
  place.width = r.w - px(20) - px(76);
  place.hint = "Drag sideways to move the cut, or click and type";
  const ui::QuantityEdit e = ui::quantity("section.place", place);
  if (e.value) run(w, "section", {{"on", true}, {"place_mm", *e.value}, {"turn", false}});
  ImGui::SameLine(0, px(8));
  ui::ButtonLook quiet;
  quiet.weight = ui::Weight::quiet;
  if (ui::button("section.close", "Close", quiet)) run(w, "section", {{"on", false}});
  end_over_view();
}

}  // namespace intercusp
