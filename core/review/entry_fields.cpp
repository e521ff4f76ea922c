#include "review/entry_fields.h"

#include <algorithm>
#include <array>

#include "anatomy/landmarks.h"
#include "base/base64.h"
#include "base/json_read.h"
#include "casebook/case_file.h"
#include "casebook/case_json.h"
#include "review/entry.h"

namespace intercusp {

using nlohmann::json;

namespace {

constexpr std::size_t kMostPlanEntries = 200, kMostBodies = 64, kMostPieces = 4096, kLongestCamera = 1000;
constexpr double kFarAway = 1e6;  // mm

bool is_id(const json* value) {
  if (!value || !value->is_string()) return false;
  const auto bytes = from_base64url(value->get<std::string>());
  return bytes && bytes->size() == 16;
}

bool is_version(const json& body) {
  const json* on = member(body, "on");
  return is_id(on) || (on && on->is_string() && on->get<std::string>().empty());
}

bool is_point(const json* value) {
  if (!value || !value->is_array() || value->size() != 3) return false;
  return std::all_of(value->begin(), value->end(),
                     [](const json& v) { return v.is_number() && std::abs(v.get<double>()) < kFarAway; });
}

bool is_named(const json& body, const char* key) {
  const auto text = text_at(body, key);
  return text && !text->empty() && text->size() <= kLongestName;
}

bool is_worded(const json& body) {
  const auto text = text_at(body, "text");
  return text && !text->empty() && text->size() <= kLongestRemark;
}

/// {"pieces","length","sha256"}, with a name where it is a body.
bool is_stored_thing(const json& thing) {
  const json* pieces = member(thing, "pieces");
  if (!pieces || !pieces->is_array() || pieces->size() > kMostPieces) return false;
  const bool named = std::all_of(pieces->begin(), pieces->end(), [](const json& piece) {
    const auto bytes = piece.is_string() ? from_base64url(piece.get<std::string>()) : std::nullopt;
    return bytes && bytes->size() == 32;
  });
  return named && number_at(thing, "length").value_or(-1) >= 0 && is_hex_digest(text_at(thing, "sha256").value_or(""));
}

/// base64url of a JPEG; whether it can be shown is found out by who shows it.
bool is_picture(const json& value) {
  const std::string* text = value.get_ptr<const std::string*>();
  if (!text || text->size() > kLongestPicture / 3 * 4 + 4) return false;
  const auto bytes = from_base64url(*text);
  return bytes && bytes->size() <= kLongestPicture && bytes->rfind("\xff\xd8\xff", 0) == 0;
}

Status check_begin(const json& body) {
  const json *document = member(body, "case"), *bodies = member(body, "bodies");
  if (!document || !bodies || !bodies->is_array() || bodies->size() > kMostBodies)
    return Error{"the case is missing", "case", ""};
  Case trial;
  const Status read = case_from_json(*document, trial);
  if (!read.ok()) return Error{read.error().what, "case." + read.error().where, ""};
  for (const json& one : *bodies)
    if (!is_named(one, "name") || !is_stored_thing(one) || (one.contains("coarse") && !is_stored_thing(one["coarse"])))
      return Error{"a body is not named by its pieces", "bodies", ""};
  return Done{};
}

Status check_plan(const json& body) {
  if (!is_named(body, "plan") || !is_version(body)) return Error{"the plan or its version is not named", "plan", ""};
  const json* entries = member(body, "entries");
  if (!entries) return Error{"the plan's entries are missing", "entries", ""};
  if (entries->is_null()) return Done{};
  const auto plan = plan_from_value(body, "plan");
  if (!plan.ok()) return Error{plan.error().what, plan.error().where, ""};
  return Done{};
}

Status check_landmark(const json& body) {
  const auto name = text_at(body, "landmark");
  if (!name || !known_landmark(*name) || !is_version(body))
    return Error{"the landmark or its version is not named", "landmark", ""};
  const json* at = member(body, "at");
  if (!at || !(at->is_null() || is_point(at))) return Error{"the landmark's place is not three numbers", "at", ""};
  const json* confidence = member(body, "confidence");
  const auto sure = number_at(body, "confidence");
  if (confidence && !(sure && *sure >= 0 && *sure <= 1))
    return Error{"the landmark's confidence is not between 0 and 1", "confidence", ""};
  return Done{};
}

Status check_frame(const json& body) {
  const json* rows = member(body, "rows");
  if (!is_version(body) || !rows) return Error{"the frame or its version is missing", "rows", ""};
  const auto pose = frame_from_value(*rows);
  return pose.ok() ? Status(Done{}) : Status(pose.error());
}

Status check_case_id(const json& body) {
  const auto id = text_at(body, "case_id");
  if (!is_version(body) || !id || id->empty() || id->size() > 120)
    return Error{"a case id has 1 to 120 letters", "case_id", ""};
  return Done{};
}

Status check_remark(const json& body) {
  const json* at = member(body, "at");
  const bool on_body = at && is_named(*at, "body") && is_point(member(*at, "point"));
  if (!on_body && !(at && is_named(*at, "measure"))) return Error{"the remark is pinned to nothing", "at", ""};
  if (!is_worded(body)) return Error{"the remark has no words, or too many", "text", ""};
  const json* view = member(body, "view");
  if (view && (!view->is_object() || view->dump().size() > kLongestCamera))
    return Error{"the view is no camera", "view", ""};
  const json* picture = member(body, "picture");
  if (picture && !is_picture(*picture)) return Error{"the picture is no JPEG of at most 48 KiB", "picture", ""};
  return Done{};
}

Status check_reply(const json& body) {
  if (!is_id(member(body, "to"))) return Error{"the reply does not say to what", "to", ""};
  return is_worded(body) ? Status(Done{}) : Status(Error{"the reply has no words, or too many", "text", ""});
}

Status check_resolve(const json& body) {
  const bool fits = is_id(member(body, "to")) && flag_at(body, "resolved");
  return fits ? Status(Done{}) : Status(Error{"it does not say which remark is resolved or open", "to", ""});
}

Status check_agree(const json& body) {
  const std::string part = text_at(body, "part").value_or("");
  if (part != "occlusion" && part != "movement") return Error{"agreed is neither occlusion nor movement", "part", ""};
  if (!is_named(body, "plan") || !is_version(body)) return Error{"the plan or its version is not named", "plan", ""};
  if (!is_hex_digest(text_at(body, "digest").value_or(""))) return Error{"the plan's digest is missing", "digest", ""};
  return Done{};
}

using Check = Status (*)(const json&);
struct Kind {
  const char* action;
  Check check;
};
constexpr std::array<Kind, 9> kKinds = {{{"begin", check_begin},
                                         {"plan", check_plan},
                                         {"landmark", check_landmark},
                                         {"frame", check_frame},
                                         {"case", check_case_id},
                                         {"remark", check_remark},
                                         {"reply", check_reply},
                                         {"resolve", check_resolve},
                                         {"agree", check_agree}}};

const Kind* kind_of(const std::string& action) {
  const auto found = std::find_if(kKinds.begin(), kKinds.end(), [&](const Kind& k) { return action == k.action; });
  return found == kKinds.end() ? nullptr : &*found;
}

}  // namespace

bool is_hex_digest(const std::string& text) {
  return text.size() == 64 && text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

Status check_fields(const std::string& action, const json& body) {
  const Kind* kind = kind_of(action);
  return kind ? kind->check(body) : Status(Done{});
}

json plan_value(const Plan& plan) {
  const json whole = plans_to_json({plan})[0];
  return {{"entries", whole["entries"]}, {"first_jaw", whole["first_jaw"]}};
}

Result<Plan> plan_from_value(const json& value, const std::string& name) {
  const json* entries = member(value, "entries");
  if (!entries || !entries->is_array() || entries->size() > kMostPlanEntries)
    return Error{"a plan has at most 200 entries", "entries", ""};
  const std::string first = text_at(value, "first_jaw").value_or("upper");
  const json list = json::array({{{"name", name}, {"first_jaw", first}, {"entries", *entries}}});
  auto plans = plans_from_json(list);
  if (!plans.ok()) return plans.error();
  return plans.value().front();
}

json landmark_value(const Landmark& landmark) {
  const json all = landmarks_to_json({{"landmark", landmark}});
  return all["landmark"];
}

Result<Landmark> landmark_from_value(const json& value, const std::string& name) {
  const json list = {{name, value}};
  auto set = landmarks_from_json(list);
  if (!set.ok()) return set.error();
  return set.value().begin()->second;
}

json frame_value(const Case& c) {
  return pose_to_json(c.patient_from_scans);
}

Result<Pose> frame_from_value(const json& rows) {
  Case trial;
  const Status read = case_from_json({{"version", kCaseVersion}, {"patient_from_scans", rows}}, trial);
  if (!read.ok()) return Error{read.error().what, "rows", ""};
  return trial.patient_from_scans;
}

}  // namespace intercusp
