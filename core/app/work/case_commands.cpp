// Commands on the case as a whole: open, save, export, share, undo.
#include "app/view/layout.h"
#include "app/work/command_table.h"
#include "app/work/laid_aside.h"
#include "app/work/opening.h"
#include "app/work/surfaces.h"
#include "app/work/view_json.h"
#include "base/json_read.h"
#include "casebook/privacy.h"
#include "casebook/recipe_link.h"
#include "formats/mesh_writer.h"

namespace intercusp {

namespace {

Result<Json> sample(Workspace& w, const Json& args) {
  const std::string name = text_at(args, "name").value_or("class3");
  const auto given = number_at(args, "seed");
  const double triangles = number_at(args, "triangles").value_or(kSampleTriangles);
  if (given.value_or(0) < 0 || triangles < 1000 || triangles > 4e6)
    return Error{"seed or triangles are out of range", name, ""};
  std::optional<std::uint64_t> seed;  // none: the sample's own
  if (given) seed = static_cast<std::uint64_t>(*given);
  return from(open_sample(w, name, seed, static_cast<std::uint32_t>(triangles), flag_at(args, "bone").value_or(false)));
}

Result<Json> save(Workspace& w, const Json&) {
  if (const auto warning = id_warning(w.now().id))
    w.say({Message::Kind::warning, *warning, "the case id stands in the file", "rename the case before passing it on",
           0});
  return from(w.errands.go(WriteCase{w.now()}, "Writing the case",
                           [&w, revision = w.document.revision()](ErrandAnswer& answer) -> Status {
                             const auto* written = std::get_if<CaseWritten>(&answer);
                             if (!written)
                               return Error{"the case could not be written", "", "close other pages and save again"};
                             w.host.offer_file(file_stem(w) + ".glb", "model/gltf-binary", written->bytes);
                             w.saved_revision = revision;
                             w.say({Message::Kind::note, "Saved " + file_stem(w) + ".glb", "", "", 0});
                             return Done{};
                           }));
}

Result<Json> open_recent(Workspace& w, const Json& args) {
  const std::vector<std::string> recent = w.host.recent_files();
  const double index = number_at(args, "index").value_or(0);
  if (index < 0 || index >= static_cast<double>(recent.size()))
    return Error{"no case was opened lately at that place of the list", "", "open it with Open files"};
  w.popover = Popover::none;
  w.host.open_recent(recent[static_cast<std::size_t>(index)]);
  return nothing();
}

Result<Json> export_body(Workspace& w, const Json& args) {
  const std::string name = text_at(args, "body").value_or("upper_arch");
  const Body* body = w.shown().find_body(name);
  if (!body || !body->surface) return Error{"the case has no body " + name, "", ""};
  const Mesh posed = transformed(body->surface->mesh(), pose_of_body(w.shown(), *body, w.readings.now().poses));
  w.host.offer_file(file_stem(w) + "-" + name + ".stl", "model/stl", write_stl(posed));
  return nothing();
}

Result<Json> export_landmarks(Workspace& w, const Json&) {
  const std::string text = write_landmarks(w.readings.now().points);
  w.host.offer_file(file_stem(w) + "-landmarks.json", "application/json", {text.begin(), text.end()});
  return nothing();
}

Result<Json> share(Workspace& w, const Json& args) {
  const std::string fragment = recipe_link(w.now(), view_json(w));
  if (fragment.empty())
    return Error{"this case holds scans of its own and does not fit into a link", "",
                 "save it as a file and pass that on"};
  const std::string link = w.host.link_for(fragment);
  if (flag_at(args, "copy").value_or(false)) {
    w.host.set_clipboard(link);
    w.say({Message::Kind::note, "Link copied", "who opens it sees this jaw in this place", "", 0});
  }
  return Json{{"link", link}, {"fragment", fragment}};
}

Result<Json> rename(Workspace& w, const Json& args) {
  const std::string id = text_at(args, "id").value_or("");
  if (id.empty() || id.size() > 120) return Error{"a case id has 1 to 120 letters", "", ""};
  Case next = w.now();
  next.id = id;
  w.document.change(std::move(next), "Renamed the case", "rename");
  const auto warning = id_warning(id);
  return Json{{"warning", warning ? *warning : ""}};
}

/// A plan that a step through the history brought back is the one looked at: with its first movement undone there was
/// none to look at.
void look_at_what_came_back(Workspace& w) {
  if (w.plan.empty() && !w.now().plans.empty()) w.plan = w.now().plans.back().name;
}

Result<Json> undo(Workspace& w, const Json&) {
  if (!w.document.can_undo()) return Json{{"undone", false}};
  w.document.undo();
  look_at_what_came_back(w);
  return Json{{"undone", true}};
}

Result<Json> redo(Workspace& w, const Json&) {
  if (!w.document.can_redo()) return Json{{"redone", false}};
  w.document.redo();
  look_at_what_came_back(w);
  return Json{{"redone", true}};
}

// Takes back steps until so many are left.
Result<Json> go_back_to(Workspace& w, const Json& args) {
  const double steps = number_at(args, "steps").value_or(0);
  int taken = 0;
  while (w.document.can_undo() && static_cast<double>(w.document.history().size()) > steps) {
    w.document.undo();
    ++taken;
  }
  return Json{{"undone", taken}};
}

Result<Json> ask_for_files(Workspace& w, const Json&) {
  w.host.ask_for_files();
  return nothing();
}

Result<Json> units(Workspace& w, const Json& args) {
  return from(answer_units(w, text_at(args, "unit").value_or("")));
}

Result<Json> surface_role(Workspace& w, const Json& args) {
  return from(set_role(w, text_at(args, "body").value_or(""), text_at(args, "role").value_or("")));
}

Result<Json> lay_scans(Workspace& w, const Json&) {
  const Status laid = lay_on_bone(w);
  if (!laid) return laid.error();
  return Json{{"said", w.laying.words}};
}

}  // namespace

std::string file_stem(const Workspace& w) {
  std::string stem;
  for (const char c : w.now().id) stem += std::isalnum(static_cast<unsigned char>(c)) || c == '-' || c == '_' ? c : '-';
  return stem.empty() ? "case" : stem;
}

void add_case_commands(std::map<std::string, Command>& t) {
  t["open_sample"] = {sample, false};
  t["ask_for_files"] = {ask_for_files, false};
  t["units"] = {units, false};
  t["surface_role"] = {surface_role};
  t["lay_on_bone"] = {lay_scans};
  t["save"] = {save};
  t["open_recent"] = {open_recent, false};
  t["take_up_again"] = {[](Workspace& w, const Json&) { return from(take_up_again(w)); }, false};
  t["export"] = {export_body};
  t["export_landmarks"] = {export_landmarks};
  t["share"] = {share};
  t["rename"] = {rename};
  t["undo"] = {undo};
  t["go_back_to"] = {go_back_to};
  t["redo"] = {redo};
}

}  // namespace intercusp
