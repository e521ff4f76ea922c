// The splint: what it is to hold and how it is to be made, how both arches seat in it, where it is thin, and the files.
#include <algorithm>
#include <cmath>
#include <sstream>

#include "anatomy/notation.h"
#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/quantity.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/splint.h"
#include "casebook/splint_mend.h"

namespace intercusp {

namespace {

constexpr std::size_t kFirstNumbers = 3;  // shown before "All settings"
constexpr std::size_t kFirstThin = 3;
constexpr double kFarthestTilt = 20;  // degrees, each way: both together stay within what can be made
constexpr char kCheckedBy[] = "checked_by";

void splint_line(const std::string& words) {
  ui::paragraph(fonts().body, theme().text, words.c_str());
}

bool has_movements(const Workspace& w) {
  return w.current_plan() && !w.current_plan()->entries.empty();
}

std::string held_relation_words(const Workspace& w) {
  const MadeSplint* made = shown_splint(w);
  const std::string opened = made && made->answer.made.opened_mm > 0
                                 ? " Held open " + amount(made->answer.made.opened_mm, 1) + " mm at the incisors."
                                 : std::string();
  if (w.splint.order.stage == Moment::planned) return "Both jaws as planned." + opened;
  const bool upper = !w.current_plan() || w.current_plan()->first_jaw == "upper";
  return std::string("The ") + (upper ? "upper" : "lower") + " jaw moved, the " + (upper ? "lower" : "upper") +
         " one still where it was." + opened;
}

// While one has quick looks, what is changed is seen at once.
void set_splint_by_hand(Workspace& w, const nlohmann::json& what, bool goes_on = false) {
  const MadeSplint* made = w.splint.current();
  const bool look = made && made->quick && !goes_on && !w.errands.busy();
  nlohmann::json args = what;
  if (look) args["quick"] = true;
  run(w, look ? "splint" : "set_splint", args);
  if (look) w.splint.settings_open = true;
}

void stage_choice(Workspace& w) {
  const struct {
    Moment stage;
    const char *name, *label;
  } choices[] = {{Moment::planned, "final", "Final"}, {Moment::intermediate, "intermediate", "Intermediate"}};
  const bool in_between = w.current_plan() && jaws_moved(*w.current_plan()).both();
  for (const auto& c : choices) {
    ui::ButtonLook look;
    look.chosen = w.splint.order.stage == c.stage;
    look.enabled = in_between || look.chosen || c.stage == Moment::planned;
    if (ui::button((std::string("splint.stage.") + c.name).c_str(), c.label, look))
      run(w, "set_splint", {{"stage", c.name}});
    ImGui::SameLine(0, px(6));
  }
  ImGui::NewLine();
  ui::soft_text(held_relation_words(w).c_str());
}

// A name, and beside it a number to drag or type.
ui::QuantityEdit number_row(const std::string& id, const char* label, ui::QuantityLook look, const std::string& hint) {
  const float h = target_height(), all = ImGui::GetContentRegionAvail().x, name_width = px(128);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  ui::put_text(ImGui::GetWindowDrawList(), fonts().body, at.x, at.y + 0.5f * (h - fonts().body->FontSize), theme().text,
               label);
  ImGui::SetCursorScreenPos({at.x + name_width, at.y});
  look.width = all - name_width;
  look.hint = hint.c_str();
  return ui::quantity(id.c_str(), look);
}

void opening_row(Workspace& w) {
  const SplintOrder& order = w.splint.order;
  const MadeSplint* made = w.splint.current();
  ui::QuantityLook look;
  look.value = order.opening_mm;
  look.words = order.opening_mm > 0 ? amount(order.opening_mm, 1) + " mm" : "as planned";
  if (order.open_for_thickness)
    look.words = made && made->asked.open_for_thickness ? amount(made->answer.made.opened_mm, 1) + " mm"
                                                        : std::string("as needed");
  look.enabled = !order.open_for_thickness;
  const ui::QuantityEdit e =
      number_row("splint.opening", "Opening", look,
                 "The lower jaw turned open about the hinge axis, measured at its incisors. Usual: as little as leaves "
                 "room for the splint (common practice, no source)");
  if (e.dragging) w.dragging = true;
  if (e.value || (e.finished && order.opening_mm > 0))
    set_splint_by_hand(w, {{"opening_mm", std::clamp(e.value.value_or(order.opening_mm), 0.0, kFarthestOpeningMm)}},
                       e.dragging);
  bool on = order.open_for_thickness;
  if (ui::toggle("splint.as_needed", "As little as leaves room", on,
                 "Opens until the arches leave the thinnest wall and the clearance between them"))
    set_splint_by_hand(w, {{"open_for_thickness", on}});
}

// As many as the steps of a number need: 0.25 two, 0.1 one.
int decimals_of_step(double step) {
  int decimals = 0;
  for (double whole = step; decimals < 4 && std::abs(whole - std::round(whole)) > 1e-9; whole *= 10) ++decimals;
  return decimals;
}

void setting_rows(Workspace& w) {
  const auto& all = splint_numbers();
  const SplintSettings usual;
  const std::size_t shown = w.splint.all_settings ? all.size() : kFirstNumbers;
  for (std::size_t i = 0; i < shown; ++i) {
    const SplintNumber& n = all[i];
    const int decimals = decimals_of_step(n.step);
    ui::QuantityLook look;
    look.value = w.splint.order.settings.*n.member;
    look.words = amount(look.value, decimals) + " mm";
    look.step = n.step;
    const std::string hint =
        std::string(n.why) + ". Usual: " + amount(usual.*n.member, decimals) + " mm (common practice, no source)";
    const ui::QuantityEdit e = number_row(std::string("splint.") + n.key, n.label, look, hint);
    if (e.dragging) w.dragging = true;
    if (e.value || e.finished)
      set_splint_by_hand(w, {{n.key, std::clamp(e.value.value_or(look.value), n.least, n.most)}}, e.dragging);
  }
}

// "14, 24 34" as teeth.
std::vector<int> teeth_in(std::string text) {
  std::replace(text.begin(), text.end(), ',', ' ');
  std::istringstream words(text);
  std::vector<int> teeth;
  for (int tooth = 0; words >> tooth;) teeth.push_back(tooth);
  return teeth;
}

void teeth_rows(Workspace& w) {
  ui::soft_text("Wire holes in the rim, mesial of these teeth");
  if (ui::text_field("splint.holes", "14, 24, 34", w.splint.holes_text)) {
    const auto teeth = teeth_in(w.splint.holes_text);
    const bool whole = std::all_of(teeth.begin(), teeth.end(), is_permanent_tooth);
    if (whole) run(w, "set_splint", {{"holes", teeth}});
  }
  ui::soft_text("1 mm more room around what is bonded to these teeth");
  if (ui::text_field("splint.relief", "13, 23", w.splint.relief_text)) {
    nlohmann::json relief = nlohmann::json::object();
    for (const int tooth : teeth_in(w.splint.relief_text))
      if (is_permanent_tooth(tooth)) relief[std::to_string(tooth)] = 1.0;
    run(w, "set_splint", {{"relief", relief}});
  }
}

// Two angles of an arch's way; as long as none is given, those that were found.
void path_rows(Workspace& w, bool upper) {
  const SplintSettings& s = w.splint.order.settings;
  const MadeSplint* made = w.splint.current();
  const bool given = upper ? s.upper_path_given : s.lower_path_given;
  std::array<double, 2> tilt = upper ? s.upper_tilt_deg : s.lower_tilt_deg;
  const bool found = !given && made && s.find_path;
  if (!given) tilt = {0, 0};
  if (found) {
    const SeatingPath& path = (upper ? made->answer.made.splint.upper : made->answer.made.splint.lower).path;
    tilt = {path.forward_deg, path.left_deg};
  }
  const std::string arch = upper ? "upper" : "lower";
  const char* labels[] = {upper ? "Upper seats from" : "Lower seats from", "and from"};
  const char* ways[][2] = {{"front", "back"}, {"left", "right"}};
  for (std::size_t k = 0; k < 2; ++k) {
    ui::QuantityLook look;
    look.value = tilt[k];
    const bool upright = std::abs(tilt[k]) < 0.05;
    look.words = upright ? (given || found || !s.find_path ? "square" : "as found")
                         : amount(std::abs(tilt[k]), 1) + "\xC2\xB0 " + ways[k][tilt[k] > 0 ? 0 : 1];
    const ui::QuantityEdit e = number_row("splint." + arch + "_path." + std::to_string(k), labels[k], look,
                                          "Tilt of the way off from square to the chewing plane, degrees. Not given: "
                                          "the way that blocks out the least undercut");
    if (e.dragging) w.dragging = true;
    if (!e.value && !(e.finished && given)) continue;
    tilt[k] = std::clamp(e.value.value_or(tilt[k]), -kFarthestTilt, kFarthestTilt);
    set_splint_by_hand(w, {{arch + "_path", tilt}}, e.dragging);
    return;
  }
}

void paths_part(Workspace& w) {
  path_rows(w, true);
  path_rows(w, false);
  const SplintSettings& s = w.splint.order.settings;
  if ((s.upper_path_given || s.lower_path_given) && ui::link("splint.seek_paths", "Find the paths again"))
    set_splint_by_hand(w, {{"upper_path", nullptr}, {"lower_path", nullptr}});
}

void splint_settings_rows(Workspace& w) {
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(px(8), px(2)));
  opening_row(w);
  setting_rows(w);
  if (w.splint.all_settings) {
    bool straight = !w.splint.order.settings.find_path, refuse = w.splint.order.settings.refuse_thin;
    if (ui::toggle("splint.straight", "Seat square, not tilted", straight,
                   "Otherwise along the way that blocks out the least undercut"))
      set_splint_by_hand(w, {{"straight", straight}});
    paths_part(w);
    if (ui::toggle("splint.refuse_thin", "Refuse thinner walls", refuse, "Otherwise they are listed"))
      run(w, "set_splint", {{"refuse_thin", refuse}});
    bool raised = w.splint.order.raise_text;
    if (ui::toggle("splint.raised_text", "Raise its name on the rim", raised,
                   "Case, plan, stage and the beginning of the digest, to be read on the print"))
      run(w, "set_splint", {{"raised_text", raised}});
    teeth_rows(w);
  }
  ImGui::PopStyleVar();
}

// Open until a splint is made; then what came of them has the room.
void settings_part(Workspace& w) {
  const bool made = w.splint.current() != nullptr;
  if (made && !w.splint.settings_open) {
    if (ui::link("splint.settings", "Change the settings")) w.splint.settings_open = true;
    return;
  }
  splint_settings_rows(w);
  if (ui::link("splint.more", w.splint.all_settings ? "Only the first settings" : "All settings, wire holes, relief"))
    w.splint.all_settings = !w.splint.all_settings;
}

void make_buttons(Workspace& w) {
  const bool doing = w.errands.awaits("Making the splint") || w.errands.awaits("Making a quick look");
  ui::ButtonLook primary{ui::Weight::primary}, quick;
  primary.enabled = quick.enabled = !doing;
  quick.hint = "Coarse and soon there: to see form and room, not to be printed";
  ui::gap_above(4);
  if (ui::button("splint.make", "Make the splint", primary)) run(w, "splint");
  ImGui::SameLine(0, px(8));
  if (ui::button("splint.quick", "Quick look", quick)) run(w, "splint", {{"quick", true}});
}

void open_as_needed(Workspace& w) {
  if (!w.splint.order.open_for_thickness && ui::button("splint.open", "Open the bite as needed"))
    run(w, "splint", {{"open_for_thickness", true}, {"quick", false}});
}

// One press makes the walls as thick as asked; what that changed is said, and can be taken back.
void mend_row(Workspace& w, const MadeSplint& made) {
  if (age_of(w, made) == SplintAge::current && !made.answer.made.splint.thin.empty()) {
    ui::ButtonLook look;
    look.enabled = !w.errands.busy();
    look.hint = "Widens the rim, raises it over the tips or opens the bite, whichever the thin places need";
    if (ui::button("splint.mend", "Mend the thin places", look)) run(w, "mend_splint");
  }
  if (!w.splint.before_mend || w.splint.before_mend->order.stage != made.asked.stage) return;
  ui::soft_text(("Mended: " + changes_words(made.answer.made.mended) + ".").c_str());
  if (ui::link("splint.undo_mend", "Undo the mend")) run(w, "undo_mend");
}

void refusal_lines(Workspace& w) {
  if (!w.splint.refusal) return;
  const Error e = *w.splint.refusal;  // a command may take it back
  ui::gap_above(6);
  ui::paragraph(fonts().strong, theme().overlap_text, "It cannot be made so");
  splint_line("Reason: " + e.what + ".");
  if (!e.remedy.empty()) splint_line("What would do: " + e.remedy + ".");
  open_as_needed(w);
}

void seat_row(Workspace& w, const char* name, const char* words, const SplintSeat& seat) {
  if (!seat.checked) return;
  if (seat.seats) {
    ui::paragraph(fonts().body, theme().text, (std::string(words) + " teeth seat without touching.").c_str());
    const auto most = [](const std::array<double, 2>& pair) { return std::max(pair[0], pair[1]); };
    const double slide = std::max(most(seat.rock.left_mm), most(seat.rock.forward_mm));
    const double turn = std::max({most(seat.rock.pitch_deg), most(seat.rock.roll_deg), most(seat.rock.yaw_deg)});
    const double blocked = seat.imprint_mm2 > 0 ? 100 * seat.blocked_mm2 / seat.imprint_mm2 : 0;
    ui::soft_text(("Gap " + amount(seat.gap_mm, 2) + " mm; can move " + amount(slide, 2) + " mm and turn " +
                   amount(turn, 1) + "\xC2\xB0; undercuts blocked out on " + amount(blocked, 0) + "%.")
                      .c_str());
    return;
  }
  ui::paragraph(fonts().strong, theme().overlap_text, (std::string(words) + " teeth do not seat").c_str());
  splint_line("They touch " + amount(seat.stopped_mm, 2) + " mm before their place.");
  if (ui::link((std::string("splint.touch.") + name).c_str(), "Look where")) run(w, "look_at_splint", {{"seat", name}});
}

void thin_row(Workspace& w, const MadeSplint& made, std::size_t i) {
  const Theme& t = theme();
  const ThinPlace& place = made.answer.made.splint.thin[i];
  const float width = ImGui::GetContentRegionAvail().x;
  const ui::AreaState s = ui::area(("splint.thin." + std::to_string(i)).c_str(), {width, target_height()});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const bool chosen = w.splint.chosen_thin == static_cast<int>(i);
  if (s.hovered || chosen)
    list->AddRectFilled({from.x - px(6), from.y}, {to.x + px(6), to.y}, chosen ? t.accent_ground : t.hover, px(6));
  const float y = 0.5f * (from.y + to.y - fonts().body->FontSize);
  const std::string mm = amount(place.thickness_mm, 2) + " mm";
  const float taken = ui::text_width(fonts().strong, mm) + px(8);
  ui::put_text(list, fonts().body, from.x, y, t.text,
               ui::fitted(fonts().body, "Thin " + made.answer.thin_places[i], width - taken));
  ui::put_text(list, fonts().strong, to.x, y, t.overlap_text, mm, 1);
  if (s.clicked) run(w, "look_at_splint", {{"thin", i}});
}

// What every splint has is said once, not listed.
void fins_line(const MadeSplint& made) {
  const SplintFins& fins = made.answer.made.splint.fins;
  if (fins.places == 0) return;
  ui::soft_text(("Fins, to trim where loose or sharp: " + std::to_string(fins.places) + ".").c_str());
}

// A look is too coarse to see every tip, but how near the teeth come is known from the scans.
std::string nothing_thin_words(const MadeSplint& made) {
  const SplintSettings& asked = made.asked.settings;
  const std::string least = amount(asked.least_thickness_mm, 1) + " mm";
  if (!made.quick)
    return "No wall or floor is thinner than " + least + " over " + amount(kSmallestThinMm2, 1) +
           " mm\xC2\xB2 or more.";
  const ArchGap& gap = made.answer.made.nearest;
  const double left = std::max(0.0, gap.gap_mm - 2 * asked.clearance_mm);
  if (left >= asked.least_thickness_mm)
    return "This look shows nothing thinner than " + least + "; small places are found when the splint is made.";
  const std::string teeth = gap.upper_tooth && gap.lower_tooth
                                ? " at " + std::to_string(gap.upper_tooth) + " on " + std::to_string(gap.lower_tooth)
                                : "";
  return "The teeth leave " + amount(left, 1) + " mm" + teeth + ", less than the " + least + " asked.";
}

void thin_list(Workspace& w, const MadeSplint& made) {
  const std::size_t all = made.answer.made.splint.thin.size();
  if (all == 0) {
    splint_line(nothing_thin_words(made));
    mend_row(w, made);
    return;
  }
  const std::size_t shown = w.splint.all_thin ? all : std::min(all, kFirstThin);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(px(8), 0));
  for (std::size_t i = 0; i < shown; ++i) thin_row(w, made, i);
  ImGui::PopStyleVar();
  if (all > kFirstThin &&
      ui::link("splint.thin.all", w.splint.all_thin ? "Only the thinnest" : ("All " + std::to_string(all)).c_str()))
    w.splint.all_thin = !w.splint.all_thin;
  mend_row(w, made);
}

// True while what was made may be handed out.
bool age_line(const Workspace& w, const MadeSplint& made) {
  const SplintAge age = age_of(w, made);
  if (age == SplintAge::other_plan)
    ui::soft_text("Made for another plan, or before the plan was changed: make it again.");
  if (age == SplintAge::other_settings) ui::soft_text("The settings were changed since: make it again.");
  if (age == SplintAge::current && made.quick)
    ui::soft_text("A quick look, too coarse to print; how the teeth seat is not checked.");
  return age == SplintAge::current && !made.quick;
}

void save_rows(Workspace& w, bool enabled) {
  std::string name = w.host.setting(kCheckedBy);
  if (ui::text_field("splint.checked_by", "name of who checked it", name)) w.host.keep_setting(kCheckedBy, name);
  ui::ButtonLook look;
  look.enabled = enabled;
  for (const char* format : {"stl", "3mf"}) {
    const std::string label = std::string("Save ") + (format[0] == '3' ? "3MF" : "STL");
    if (ui::button((std::string("splint.save.") + format).c_str(), label.c_str(), look))
      run(w, "save_splint", {{"format", format}, {"checked_by", name}});
    ImGui::SameLine(0, px(8));
  }
  ImGui::NewLine();
  ui::soft_text(
      "With a note on how it was made and fits. Verify the fit on printed models of both arches; material and "
      "sterilisation by local rules.");
}

void show_row(Workspace& w) {
  bool splint = w.splint.shown, upper = w.show_upper, lower = w.show_lower;
  if (ui::toggle("splint.show", "Splint", splint)) run(w, "show_splint", {{"on", splint}});
  ImGui::SameLine(0, px(12));
  if (ui::toggle("splint.show.upper", "Upper", upper)) run(w, "show_jaw", {{"jaw", "upper"}, {"on", upper}});
  ImGui::SameLine(0, px(12));
  if (ui::toggle("splint.show.lower", "Lower", lower)) run(w, "show_jaw", {{"jaw", "lower"}, {"on", lower}});
  bool thickness = w.splint.thickness, paths = w.splint.paths;
  if (ui::toggle("splint.show.thickness", "Thickness", thickness, "Colours its walls by their thickness"))
    run(w, "show_splint", {{"thickness", thickness}});
  ImGui::SameLine(0, px(12));
  if (ui::toggle("splint.show.paths", "Paths", paths, "Arrows along which the arches seat"))
    run(w, "show_splint", {{"paths", paths}});
}

void made_lines(Workspace& w) {
  const auto there = w.splint.kept();  // a command may make it anew
  if (!there) return;
  const MadeSplint& made = *there;
  ui::gap_above(6);
  const bool may_go = age_line(w, made);
  const Splint& splint = made.answer.made.splint;
  seat_row(w, "upper", "Upper", splint.upper);
  seat_row(w, "lower", "Lower", splint.lower);
  if (!made.answer.overlap.empty()) ui::paragraph(fonts().small, theme().overlap_text, made.answer.overlap.c_str());
  thin_list(w, made);
  fins_line(made);
  show_row(w);
  ui::gap_above(4);
  save_rows(w, may_go);
}

}  // namespace

void splint_step(Workspace& w) {
  if (!has_movements(w)) {
    splint_line("No jaw has been moved yet: there is no relation that a splint could hold.");
    ui::gap_above(6);
    if (ui::button("splint.move", "Move the jaws", {ui::Weight::primary})) run(w, "stop", {{"name", "movement"}});
    return;
  }
  stage_choice(w);
  ui::gap_above(4);
  settings_part(w);
  make_buttons(w);
  refusal_lines(w);
  made_lines(w);
}

}  // namespace intercusp
