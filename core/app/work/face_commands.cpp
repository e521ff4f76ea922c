// What is recorded of the face.
#include "app/work/command_table.h"
#include "app/work/review.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

// {"key","value"}: a value of null takes it out; {"sex"}; {"clear"}: takes everything out.
Result<Json> record_face(Workspace& w, const Json& args) {
  if (!w.has_case || w.practice) return Error{"there is no case to record a face in", "", "open one"};
  if (in_review(w))
    return Error{"what is recorded of the face cannot be changed in a shared case", "", "record it before sharing"};
  Case next = w.now();
  const std::string key = text_at(args, "key").value_or("");
  Status done = Done{};
  if (flag_at(args, "clear").value_or(false)) {
    next.face = {};
  } else if (const auto sex = text_at(args, "sex")) {
    done = set_face_sex(next.face, *sex);
  } else {
    done = set_face_number(next.face, key, number_at(args, "value"));
  }
  if (!done) return done.error();
  if (next.face == w.now().face) return Json{{"changed", false}};
  w.document.change(std::move(next), "Recorded the face", key.empty() ? "" : "face." + key);
  return Json{{"changed", true}};
}

Result<Json> show_face(Workspace& w, const Json& args) {
  w.face_open = flag_at(args, "on").value_or(!w.face_open);
  return Json{{"on", w.face_open}};
}

}  // namespace

void add_face_commands(std::map<std::string, Command>& t) {
  t["face"] = {record_face};
  t["face_form"] = {show_face};
}

}  // namespace intercusp
