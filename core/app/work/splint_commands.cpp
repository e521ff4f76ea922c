// Commands on the splint: what is asked of it, making it beside the screen, looking at it and handing it out.
#include <algorithm>
#include <cmath>
#include <utility>

#include "anatomy/notation.h"
#include "app/view/layout.h"
#include "app/work/command_table.h"
#include "app/work/splint.h"
#include "base/json_read.h"
#include "casebook/splint_mend.h"
#include "formats/mesh_writer.h"
#include "formats/threemf.h"

namespace intercusp {

namespace {

Result<int> tooth_named(const Json& value) {
  const double number = value.is_number() ? value.get<double>() : 0;
  const int tooth = static_cast<int>(number);
  if (number == tooth && is_permanent_tooth(tooth)) return tooth;
  return Error{value.dump() + " is not a tooth", "splint", "use two-digit numbers, 11 to 48"};
}

Status read_teeth(const Json& args, SplintOrder& order) {
  if (const Json* holes = member(args, "holes")) {
    order.holes.clear();
    for (const Json& value : *holes) {
      const auto tooth = tooth_named(value);
      if (!tooth) return tooth.error();
      order.holes.push_back(tooth.value());
    }
  }
  const Json* relief = member(args, "relief");
  if (!relief) return Done{};
  if (!relief->is_object()) return Error{"relief is given as {\"TOOTH\": MM}", "splint", ""};
  order.relief.clear();
  for (const auto& [name, value] : relief->items()) {
    const auto tooth = tooth_named(Json(std::atoi(name.c_str())));
    if (!tooth) return tooth.error();
    const double mm = value.is_number() ? value.get<double>() : 0;
    if (!(mm > 0 && mm <= 4)) return Error{"room around " + name + " lies between 0 and 4 mm", "splint", ""};
    order.relief.emplace_back(tooth.value(), mm);
  }
  return Done{};
}

// "upper_path": [forward, left], degrees; null: as it is found.
Status read_path(const Json& args, const char* key, bool& given, std::array<double, 2>& tilt_deg) {
  const Json* path = member(args, key);
  if (!path) return Done{};
  if (path->is_null()) {
    given = false;
    return Done{};
  }
  const bool two = path->is_array() && path->size() == 2 && (*path)[0].is_number() && (*path)[1].is_number();
  if (!two) return Error{std::string(key) + " is given as [forward, left], degrees, or null", "splint", ""};
  given = true;
  tilt_deg = {(*path)[0].get<double>(), (*path)[1].get<double>()};
  return Done{};
}

Status read_opening(const Json& args, SplintOrder& order) {
  if (const auto on = flag_at(args, "open_for_thickness")) order.open_for_thickness = *on;
  const auto mm = number_at(args, "opening_mm");
  if (!mm) return Done{};
  if (*mm < 0 || *mm > kFarthestOpeningMm)
    return Error{
        "the bite is not opened that far", "splint",
        "the nearest possible value is " + std::to_string(*mm < 0 ? 0 : static_cast<int>(kFarthestOpeningMm)) + " mm"};
  order.opening_mm = *mm;
  return Done{};
}

// What is named is taken over, the rest stays; nothing is taken where something cannot be made.
Status read_order(const Json& args, SplintOrder& kept) {
  SplintOrder order = kept;
  const std::string stage = text_at(args, "stage").value_or("");
  if (!stage.empty() && stage != "final" && stage != "intermediate")
    return Error{"\"" + stage + "\" is not a stage", "splint", "use final or intermediate"};
  if (!stage.empty()) order.stage = stage == "final" ? Moment::planned : Moment::intermediate;
  for (const SplintNumber& n : splint_numbers())
    if (const auto value = number_at(args, n.key)) order.settings.*n.member = *value;
  if (const auto on = flag_at(args, "refuse_thin")) order.settings.refuse_thin = *on;
  if (const auto on = flag_at(args, "straight")) order.settings.find_path = !*on;
  if (const auto on = flag_at(args, "raised_text")) order.raise_text = *on;
  SplintSettings& s = order.settings;
  for (const Status& read : {read_opening(args, order), read_teeth(args, order),
                             read_path(args, "upper_path", s.upper_path_given, s.upper_tilt_deg),
                             read_path(args, "lower_path", s.lower_path_given, s.lower_tilt_deg)})
    if (!read) return read;
  if (const Status sound = check_settings(s); !sound) return sound;
  kept = order;
  return Done{};
}

void take_order(Workspace& w, const SplintOrder& order) {
  w.splint.order = order;
  w.splint.refusal.reset();
  w.splint.chosen_thin = -1;
  ++w.splint.version;
}

// {"stage", the numbers, ...}: what is asked of the splint from now on.
Result<Json> set_splint(Workspace& w, const Json& args) {
  SplintOrder order = w.splint.order;
  if (const Status read = read_order(args, order); !read) return read.error();
  take_order(w, order);
  return splint_order_json(order);
}

Result<MakeSplint> errand_for(Workspace& w, bool quick) {
  const Plan* plan = w.current_plan();
  if (!plan || plan->entries.empty())
    return Error{"there is no plan whose relation a splint could hold", "", "move a jaw first"};
  if (const Status ready = w.pieces_ready(); !ready) return ready.error();
  MakeSplint wanted{w.planned(), w.plan, w.plan_fingerprint(), w.splint.order};
  if (quick) wanted.order = quick_look(wanted.order);
  return wanted;
}

// What came of it stands in the panel, a refusal too; the order may have been mended.
void take_made(Workspace& w, SplintMade&& made, bool quick, SplintOrder order) {
  if (!made.made.mended.empty()) {
    const SplintSettings asked = order.settings;
    order = made.made.order;
    order.settings.to_print = asked.to_print;
    order.settings.step_mm = asked.step_mm;
    order.settings.tolerance_mm = asked.tolerance_mm;
    w.splint.order = order;
  }
  w.splint.made[order.stage] = std::make_shared<const MadeSplint>(MadeSplint{std::move(made), quick, order});
  w.splint.settings_open = false;
  w.splint.chosen_thin = -1;
  ++w.splint.version;
}

// Has it made; `order` is what the panel then stands for.
Result<Json> make_beside(Workspace& w, MakeSplint&& wanted, bool quick, const SplintOrder& order,
                         std::optional<SplintWork::BeforeMend> before = std::nullopt) {
  const auto told = std::make_shared<Result<Json>>(Json::object());
  const auto then = [&w, told, quick, order, before](ErrandAnswer& answer) -> Status {
    w.wake();
    if (const auto* error = std::get_if<Error>(&answer)) {
      w.splint.refusal = *error;
      w.splint.settings_open = true;
      *told = *error;
      return Done{};
    }
    auto* made = std::get_if<SplintMade>(&answer);
    if (!made) return Error{"the splint could not be made", "", "close other pages and try again"};
    *told = Json::parse(made->report, nullptr, false);
    take_made(w, std::move(*made), quick, order);
    auto& kept = w.splint.before_mend;
    if (before || (kept && kept->order.stage == order.stage)) kept = before;
    return Done{};
  };
  const Status asked = w.errands.go(std::move(wanted), quick ? "Making a quick look" : "Making the splint", then);
  if (!asked) return asked.error();
  return *told;
}

// The same settings and "quick": makes it beside the screen.
Result<Json> make_splint_command(Workspace& w, const Json& args) {
  SplintOrder order = w.splint.order;
  if (const Status read = read_order(args, order); !read) return read.error();
  take_order(w, order);
  const bool quick = flag_at(args, "quick").value_or(false);
  auto wanted = errand_for(w, quick);
  if (!wanted) return wanted.error();
  return make_beside(w, std::move(wanted).value(), quick, order);
}

// Changes what makes the splint thin, and makes it again.
Result<Json> mend_splint(Workspace& w, const Json&) {
  const auto made = w.splint.kept();
  if (!made || age_of(w, *made) != SplintAge::current)
    return Error{"no splint is there that was made as the plan and the settings are now", "", "make it first"};
  if (made->answer.made.splint.thin.empty()) return Error{"no wall or floor is thinner than asked", "", ""};
  const SplintWork::BeforeMend before{w.splint.order, made};
  SplintOrder order = w.splint.order;
  std::vector<SplintChange> changes = mend_order(made->answer.made, order);
  if (changes.empty()) return Error{"nothing more can be changed to make it thicker", "", "change the plan"};
  auto wanted = errand_for(w, made->quick);
  if (!wanted) return wanted.error();
  MakeSplint& errand = wanted.value();
  errand.order = made->quick ? quick_look(order) : order;
  errand.mend = true;
  errand.mended = std::move(changes);
  return make_beside(w, std::move(errand), made->quick, order, before);
}

// Back to the splint and the settings from before the last mend.
Result<Json> undo_mend(Workspace& w, const Json&) {
  if (!w.splint.before_mend) return Error{"nothing was mended that could be taken back", "", ""};
  const SplintWork::BeforeMend before = *std::exchange(w.splint.before_mend, std::nullopt);
  take_order(w, before.order);
  w.splint.made[before.order.stage] = before.made;
  return splint_order_json(before.order);
}

Status may_be_handed_out(const Workspace& w) {
  const MadeSplint* made = w.splint.current();
  if (!made) return Error{"no splint was made yet", "", "make it first"};
  if (made->quick) return Error{"this is a quick look, too coarse to print", "", "make the splint first"};
  const SplintAge age = age_of(w, *made);
  if (age == SplintAge::other_plan) return Error{"the plan changed since this splint was made", "", "make it again"};
  if (age == SplintAge::other_settings) return Error{"the settings changed since it was made", "", "make it again"};
  return Done{};
}

// {"format": stl or 3mf, "checked_by"}: the file and the note that goes with it.
Result<Json> save_splint(Workspace& w, const Json& args) {
  if (const Status may = may_be_handed_out(w); !may) return may.error();
  const std::string format = text_at(args, "format").value_or("stl"), by = text_at(args, "checked_by").value_or("");
  if (format != "stl" && format != "3mf")
    return Error{"splints are not written as \"" + format + "\"", "", "use stl or 3mf"};
  const MadeSplint& made = *w.splint.current();
  const std::string stage = made.asked.stage == Moment::intermediate ? "intermediate" : "final";
  const std::string stem = file_stem(w) + "-" + stage + "-splint";
  Mesh mesh = made.answer.body.surface->mesh();
  mesh.colours.clear();
  const std::string title = "Splint, " + stage + ", case " + w.now().id + ", plan " + w.plan;
  const bool stl = format == "stl";
  w.host.offer_file(stem + "." + format, stl ? "model/stl" : "model/3mf",
                    stl ? write_stl(mesh) : write_3mf(mesh, title));
  const std::string note = splint_note(w.planned(), *w.current_plan(), made.answer.made, by);
  w.host.offer_file(stem + ".txt", "text/plain", {note.begin(), note.end()});
  w.say({Message::Kind::note, "Saved " + stem + "." + format + " and its note",
         by.empty() ? "checked by nobody yet: not for use on a patient" : "checked by " + by, "", 0});
  return Json{{"name", stem + "." + format}, {"note", note}};
}

// An upright plane in which the wall at a place shows its thickness.
Vec3 square_to_wall(const Surface& surface, const Vec3& at) {
  ClosestPoint nearest;
  Vec3 wall = Vec3::UnitY();
  if (surface.bvh().closest(surface.mesh(), at, 5, nearest))
    wall = surface.scaled_normal(nearest.triangle).stableNormalized();
  Vec3 plane = wall.cross(Vec3::UnitZ());
  if (plane.norm() < 0.2) plane = Vec3::UnitX();  // a floor or a roof: any upright plane shows it
  plane.normalize();
  return plane.x() < 0 ? Vec3(-plane) : plane;
}

// {"thin": index}, or {"seat": upper or lower}: where it is thin or touches first, in section.
Result<Json> look_at_splint(Workspace& w, const Json& args) {
  const MadeSplint* made = shown_splint(w);
  if (!made) return Error{"no splint is shown", "", "make it first"};
  const Splint& splint = made->answer.made.splint;
  const std::string seat = text_at(args, "seat").value_or("");
  const double index = number_at(args, "thin").value_or(0);
  if (seat.empty() && !(index >= 0 && index < static_cast<double>(splint.thin.size())))
    return Error{"no such thin place is listed", "", ""};
  const SplintSeat& arch = seat == "lower" ? splint.lower : splint.upper;
  if (!seat.empty() && (arch.seats || !arch.checked))
    return Error{"the " + seat + " arch touches nothing on its way", "", ""};
  const Vec3 at = seat.empty() ? splint.thin[static_cast<std::size_t>(index)].at : arch.touch;
  const Surface& surface = *made->answer.body.surface;
  w.splint.chosen_thin = seat.empty() ? static_cast<int>(index) : -1;
  look_at_section(w, at, square_to_wall(surface, at), 9);
  return nothing();
}

// {"on"}, {"thickness"}: its walls in colours, {"paths"}: arrows along which the arches seat.
Result<Json> show_splint(Workspace& w, const Json& args) {
  const auto thickness = flag_at(args, "thickness"), paths = flag_at(args, "paths");
  const bool only_how = (thickness || paths) && !flag_at(args, "on");
  if (thickness) w.splint.thickness = *thickness;
  if (paths) w.splint.paths = *paths;
  if (!only_how) w.splint.shown = flag_at(args, "on").value_or(true);
  ++w.splint.version;
  return nothing();
}

}  // namespace

void add_splint_commands(std::map<std::string, Command>& t) {
  t["set_splint"] = {set_splint};
  t["splint"] = {make_splint_command};
  t["mend_splint"] = {mend_splint};
  t["undo_mend"] = {undo_mend};
  t["save_splint"] = {save_splint};
  t["look_at_splint"] = {look_at_splint};
  t["show_splint"] = {show_splint};
}

}  // namespace intercusp
