// Commands on remarks: pinned to a place of a body or to a measure, with replies, resolved or open.
#include <algorithm>

#include "app/view/layout.h"
#include "app/work/command_table.h"
#include "app/work/remark_picture.h"
#include "app/work/review_parts.h"
#include "app/work/view_json.h"
#include "base/base64.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

const Remark* remark_of_id(const Workspace& w, const std::string& id) {
  if (!in_review(w)) return nullptr;
  const auto& all = w.review->sharing.shared().remarks();
  const auto found = std::find_if(all.begin(), all.end(), [&](const Remark& r) { return r.id == id; });
  return found == all.end() ? nullptr : &*found;
}

Error no_such_remark() {
  return Error{"there is no such remark", "", ""};
}

// Where it is pinned; checked with the entry.
Result<Json> pinned_at(const Json& args) {
  Json at = Json::object();
  if (const auto measure = text_at(args, "measure")) {
    if (!find_measure(*measure)) return Error{"there is no measure \"" + *measure + "\"", "", ""};
    at["measure"] = *measure;
  } else {
    const auto body = text_at(args, "body");
    const Json* point = member(args, "point");
    if (!body || !point) return Error{"the remark is pinned to nothing", "", "click on the model first"};
    at["body"] = *body;
    at["point"] = *point;
  }
  return at;
}

std::string picture_at(const Workspace& w, const Json& at) {
  const Json* point = member(at, "point");
  const bool placed = point && point->is_array() && point->size() == 3 &&
                      std::all_of(point->begin(), point->end(), [](const Json& v) { return v.is_number(); });
  if (!placed) return picture_for_remark(w, "", Vec3::Zero());
  return picture_for_remark(w, text_at(at, "body").value_or(""),
                            {(*point)[0].get<double>(), (*point)[1].get<double>(), (*point)[2].get<double>()});
}

// {"body","point"} in the scan space of the body, or {"measure"}; {"text"}.
Result<Json> add_remark(Workspace& w, const Json& args) {
  const auto at = pinned_at(args);
  if (!at) return at.error();
  Json fields = {{"do", "remark"},
                 {"at", at.value()},
                 {"text", text_at(args, "text").value_or("")},
                 {"view", camera_json(w.views[w.active_view].camera)}};
  const std::string picture = in_review(w) && w.review->may_change ? picture_at(w, at.value()) : "";
  if (!picture.empty()) fields["picture"] = base64url(picture);
  const Status written = write_entry(w, std::move(fields));
  if (!written) return written.error();
  w.review->open_remark = w.review->sharing.shared().remarks().back().id;
  w.review->draft.reset();
  return Json{{"id", w.review->open_remark}};
}

// The next click on the model says where a remark is pinned; {"measure"} pins it to a measure at once.
Result<Json> pin_remark(Workspace& w, const Json& args) {
  const Status may = may_change_review(w);
  if (!may) return may.error();
  w.stop = Stop::agree;
  w.left_open = true;
  w.review->open_remark.clear();
  if (const auto measure = text_at(args, "measure")) {
    w.review->draft = RemarkDraft{};
    w.review->draft->measure = *measure;
    w.tool = Tool::turn;
    return nothing();
  }
  const bool on = flag_at(args, "on").value_or(w.tool != Tool::place_remark);
  w.tool = on ? Tool::place_remark : Tool::turn;
  w.review->draft.reset();
  return Json{{"on", on}};
}

Result<Json> reply(Workspace& w, const Json& args) {
  const std::string to = text_at(args, "to").value_or("");
  if (!remark_of_id(w, to)) return no_such_remark();
  return from(write_entry(w, {{"do", "reply"}, {"to", to}, {"text", text_at(args, "text").value_or("")}}));
}

Result<Json> resolve(Workspace& w, const Json& args) {
  const std::string to = text_at(args, "to").value_or("");
  const Remark* remark = remark_of_id(w, to);
  if (!remark) return no_such_remark();
  const bool resolved = flag_at(args, "resolved").value_or(!remark->resolved);
  return from(write_entry(w, {{"do", "resolve"}, {"to", to}, {"resolved", resolved}}));
}

// Opens a remark's thread and looks from where it was made; without an id it ends.
Result<Json> open_remark(Workspace& w, const Json& args) {
  if (!in_review(w)) return Error{"the case is not shared", "", ""};
  const std::string id = text_at(args, "id").value_or("");
  const Remark* remark = remark_of_id(w, id);
  if (!id.empty() && !remark) return no_such_remark();
  w.review->open_remark = id;
  w.review->draft.reset();
  w.review->reply_text.clear();
  if (!remark) return nothing();
  w.stop = Stop::agree;
  w.left_open = true;
  if (!remark->measure.empty()) w.explained = remark->measure;
  Camera camera;
  if (flag_at(args, "turn").value_or(true) && remark->view.is_object() && read_camera(remark->view, camera)) {
    w.views[w.active_view].record.clear();
    glide_to(w, w.active_view, camera);
  }
  return nothing();
}

// The picture of the view that a remark was made in.
Result<Json> remark_picture_bytes(Workspace& w, const Json& args) {
  const Remark* remark = remark_of_id(w, text_at(args, "id").value_or(""));
  if (!remark) return no_such_remark();
  if (!remark->picture) return Error{"this remark has no picture", "", ""};
  return Json{{"jpeg", base64url({remark->picture->begin(), remark->picture->end()})}};
}

}  // namespace

void add_remark_commands(std::map<std::string, Command>& t) {
  t["remark"] = {add_remark};
  t["pin_remark"] = {pin_remark};
  t["reply"] = {reply};
  t["resolve"] = {resolve};
  t["open_remark"] = {open_remark};
  t["remark_picture"] = {remark_picture_bytes, false};
}

}  // namespace intercusp
