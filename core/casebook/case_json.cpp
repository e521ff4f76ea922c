#include "casebook/case_json.h"

#include "base/json_read.h"
#include "casebook/case_file.h"
#include "casebook/face_plan.h"

namespace intercusp {

using nlohmann::json;

namespace {

/// Bound on what one movement may hold (mm or degrees): far beyond any jaw, and safe to round for the digest.
constexpr int kLargestQuantity = 1000;

json vec_to_json(const Vec3& v) {
  return json::array({v.x(), v.y(), v.z()});
}

std::optional<Vec3> vec_from_json(const json* value) {
  if (!value || !value->is_array() || value->size() != 3) return std::nullopt;
  Vec3 v;
  for (std::size_t i = 0; i < 3; ++i) {
    if (!(*value)[i].is_number()) return std::nullopt;
    v[static_cast<Eigen::Index>(i)] = (*value)[i].get<double>();
  }
  return v.allFinite() ? std::optional<Vec3>(v) : std::nullopt;
}

std::optional<Pose> pose_from_json(const json* value) {
  if (!value || !value->is_array() || value->size() != 3) return std::nullopt;
  Pose pose = Pose::Identity();
  for (std::size_t r = 0; r < 3; ++r) {
    const json& row = (*value)[r];
    if (!row.is_array() || row.size() != 4) return std::nullopt;
    for (std::size_t k = 0; k < 4; ++k) {
      if (!row[k].is_number()) return std::nullopt;
      pose.matrix()(static_cast<Eigen::Index>(r), static_cast<Eigen::Index>(k)) = row[k].get<double>();
    }
  }
  const Mat3 rotation = pose.linear();
  const bool rigid = pose.matrix().allFinite() && (rotation * rotation.transpose() - Mat3::Identity()).norm() < 1e-6 &&
                     rotation.determinant() > 0;
  return rigid ? std::optional<Pose>(pose) : std::nullopt;
}

json settings_to_json(const Case& c) {
  return {{"unit_mm", c.measure_settings.unit_mm},       {"landmark_sd_mm", c.measure_settings.landmark_sd_mm},
          {"scan_sd_mm", c.measure_settings.scan_sd_mm}, {"band_mm", c.contact_settings.band_mm},
          {"contact_mm", c.contact_settings.contact_mm}, {"near_contact_mm", c.contact_settings.near_contact_mm}};
}

/// A setting within what makes sense, else its default.
void read_setting(const json& settings, const char* key, double least, double most, double& value) {
  if (const auto number = number_at(settings, key)) {
    if (*number >= least && *number <= most) value = *number;
  }
}

Error newer_kind(const char* what, const std::string& where) {
  return Error{std::string(what) + " is of a kind that this version does not know", where,
               "open the case with a newer version"};
}

Result<PlanEntry> cut_from_json(const json& item, const std::string& where) {
  const auto kind = cut_kind_of(text_at(item, "cut").value_or(""));
  if (!kind) return newer_kind("a cut", where);
  std::map<std::string, double> given;
  if (const json* settings = member(item, "settings")) {
    if (!settings->is_object()) return Error{"the settings of a cut are not an object", where, ""};
    for (const auto& [key, value] : settings->items()) {
      if (!value.is_number()) return Error{"the setting " + key + " is not a number", where, ""};
      given[key] = value.get<double>();
    }
  }
  auto cut = make_osteotomy(*kind, given);
  if (cut.ok()) return cut_entry(std::move(cut).value());
  Error error = cut.error();
  error.where = where;
  return error;
}

Result<PlanEntry> closing_from_json(const json& item, const std::string& where) {
  Closing closing;
  const auto angle = number_at(item, "open_deg");
  if (!angle || std::abs(*angle) > 180) return Error{"open_deg is not a number within 180", where, ""};
  closing.open_deg = *angle;
  closing.axis = text_at(item, "axis").value_or(closing.axis);
  closing.until = text_at(item, "until").value_or(closing.until);
  closing.until_mm = number_at(item, "until_mm").value_or(0);
  if (std::abs(closing.until_mm) > kLargestQuantity) return Error{"until_mm is out of all bounds", where, ""};
  if (closing.axis != "condyles" && closing.axis != "arbitrary") return newer_kind("a hinge axis", where);
  return closing_entry(std::move(closing));
}

json entry_to_json(const PlanEntry& entry) {
  if (entry.kind == PlanEntry::Kind::cut) {
    return {{"kind", "cut"}, {"cut", cut_kind_name(entry.cut.kind)}, {"settings", entry.cut.settings}};
  }
  if (entry.kind == PlanEntry::Kind::closing) {
    const Closing& closing = entry.closing;
    return {{"kind", "closing"},
            {"axis", closing.axis},
            {"open_deg", closing.open_deg},
            {"until", closing.until},
            {"until_mm", closing.until_mm}};
  }
  json out = movement_to_json(entry.movement);
  out["kind"] = "movement";
  out["segment"] = entry.segment;
  out["about"] = entry.about;
  return out;
}

Result<PlanEntry> entry_from_json(const json& item, const std::string& where) {
  const std::string kind = text_at(item, "kind").value_or("");
  if (kind == "cut") return cut_from_json(item, where);
  if (kind == "closing") return closing_from_json(item, where);
  if (kind != "movement") return newer_kind("a plan entry", where);
  PlanEntry entry;
  entry.segment = text_at(item, "segment").value_or("");
  if (entry.segment.empty()) return Error{"a movement names no segment", where, ""};
  entry.about = text_at(item, "about").value_or("");
  const std::pair<const char*, double*> quantities[] = {
      {"forward_mm", &entry.movement.forward_mm}, {"up_mm", &entry.movement.up_mm},
      {"left_mm", &entry.movement.left_mm},       {"pitch_deg", &entry.movement.pitch_deg},
      {"roll_deg", &entry.movement.roll_deg},     {"yaw_deg", &entry.movement.yaw_deg}};
  for (const auto& [key, value] : quantities) {
    if (!member(item, key)) continue;
    const auto number = number_at(item, key);
    if (!number || std::abs(*number) > kLargestQuantity) {
      return Error{std::string(key) + " is not a number within " + std::to_string(kLargestQuantity), where, ""};
    }
    *value = *number;
  }
  return entry;
}

Result<Plan> plan_from_json(const json& item, const std::string& where) {
  Plan plan;
  plan.name = text_at(item, "name").value_or("");
  if (plan.name.empty()) return Error{"a plan has no name", where, ""};
  plan.first_jaw = text_at(item, "first_jaw").value_or("upper") == "lower" ? "lower" : "upper";
  const json* entries = member(item, "entries");
  if (!entries) return plan;
  if (!entries->is_array()) return Error{"the entries of a plan are not a list", where, ""};
  for (std::size_t i = 0; i < entries->size(); ++i) {
    auto entry = entry_from_json((*entries)[i], where + ".entries[" + std::to_string(i) + "]");
    if (!entry.ok()) return entry.error();
    plan.entries.push_back(entry.value());
  }
  return plan;
}

}  // namespace

json movement_to_json(const Movement& m) {
  return {{"forward_mm", m.forward_mm}, {"up_mm", m.up_mm},       {"left_mm", m.left_mm},
          {"pitch_deg", m.pitch_deg},   {"roll_deg", m.roll_deg}, {"yaw_deg", m.yaw_deg}};
}

json pose_to_json(const Pose& pose) {
  json rows = json::array();
  for (int r = 0; r < 3; ++r) {
    rows.push_back(json::array({pose(r, 0), pose(r, 1), pose(r, 2), pose(r, 3)}));
  }
  return rows;
}

json landmarks_to_json(const LandmarkSet& landmarks) {
  json out = json::object();
  for (const auto& [name, landmark] : landmarks) {
    json& item = out[name] = {{"at", vec_to_json(landmark.at)}, {"confirmed", landmark.confirmed}};
    if (landmark.origin != Landmark::Origin::unknown) item["origin"] = origin_name(landmark.origin);
    if (landmark.confidence < 1) item["confidence"] = landmark.confidence;
  }
  return out;
}

Result<LandmarkSet> landmarks_from_json(const json& document) {
  if (!document.is_object()) return Error{"the landmarks are not an object", "landmarks", ""};
  LandmarkSet landmarks;
  for (const auto& [name, item] : document.items()) {
    if (!known_landmark(name)) return Error{"there is no landmark of this name", "landmarks." + name, ""};
    const auto at = vec_from_json(member(item, "at"));
    if (!at) return Error{"a landmark's place is not three numbers", "landmarks." + name, ""};
    const double confidence = number_at(item, "confidence").value_or(1);
    if (!(confidence >= 0 && confidence <= 1))
      return Error{"a landmark's confidence is not between 0 and 1", "landmarks." + name, ""};
    landmarks[name] = {*at, flag_at(item, "confirmed").value_or(true), origin_of(text_at(item, "origin").value_or("")),
                       confidence};
  }
  return landmarks;
}

json plans_to_json(const std::vector<Plan>& plans) {
  json out = json::array();
  for (const Plan& plan : plans) {
    json entries = json::array();
    for (const PlanEntry& entry : plan.entries) entries.push_back(entry_to_json(entry));
    out.push_back({{"name", plan.name}, {"first_jaw", plan.first_jaw}, {"entries", std::move(entries)}});
  }
  return out;
}

Result<std::vector<Plan>> plans_from_json(const json& document) {
  if (!document.is_array()) return Error{"the plans are not a list", "plans", ""};
  std::vector<Plan> plans;
  for (std::size_t i = 0; i < document.size(); ++i) {
    auto plan = plan_from_json(document[i], "plans[" + std::to_string(i) + "]");
    if (!plan.ok()) return plan.error();
    for (const Plan& other : plans) {
      if (other.name == plan.value().name) return Error{"two plans have the name " + other.name, "plans", ""};
    }
    plans.push_back(plan.value());
  }
  return plans;
}

json case_to_json(const Case& c) {
  json document = {{"version", kCaseVersion},
                   {"case_id", c.id},
                   {"frame_known", c.frame_known},
                   {"patient_from_scans", pose_to_json(c.patient_from_scans)},
                   {"landmarks", landmarks_to_json(c.landmarks)},
                   {"landmarks_edited", c.landmarks_edited},
                   {"plans", plans_to_json(c.plans)},
                   {"settings", settings_to_json(c)}};
  if (!c.face.empty()) document["face"] = face_to_json(c.face);
  if (!c.zones.empty()) document["zones"] = zones_to_json(c.zones);
  document["recipe"] = c.recipe.empty() ? json() : json::parse(c.recipe, nullptr, false);
  return document;
}

Status case_from_json(const json& document, Case& c) {
  if (!document.is_object())
    return Error{"the case document is not an object", "", "this file was not written by Intercusp"};
  const auto version = number_at(document, "version");
  if (!version)
    return Error{"the case document carries no version", "version", "this file was not written by Intercusp"};
  if (*version > kCaseVersion) {
    return Error{"the case was written by a newer version of the program (document version " +
                     std::to_string(static_cast<long long>(*version)) + ", this program reads up to " +
                     std::to_string(kCaseVersion) + ")",
                 "version", "open it with the newer program"};
  }
  c.id = text_at(document, "case_id").value_or("");
  c.frame_known = flag_at(document, "frame_known").value_or(false);
  const auto pose = pose_from_json(member(document, "patient_from_scans"));
  if (!pose) return Error{"the transform from scan to patient is not a rigid one", "patient_from_scans", ""};
  c.patient_from_scans = *pose;
  if (const json* landmarks = member(document, "landmarks")) {
    auto set = landmarks_from_json(*landmarks);
    if (!set.ok()) return set.error();
    c.landmarks = set.value();
  }
  c.landmarks_edited = flag_at(document, "landmarks_edited").value_or(false);
  if (const json* plans = member(document, "plans")) {
    auto list = plans_from_json(*plans);
    if (!list.ok()) return list.error();
    c.plans = list.value();
  }
  if (const json* face = member(document, "face")) {
    auto record = face_from_json(*face);
    if (!record.ok()) return record.error();
    c.face = std::move(record).value();
  }
  if (const json* zones = member(document, "zones")) {
    auto list = zones_from_json(*zones);
    if (!list.ok()) return list.error();
    c.zones = std::move(list).value();
  }
  if (const json* settings = member(document, "settings")) {
    read_setting(*settings, "unit_mm", 1, 20, c.measure_settings.unit_mm);
    read_setting(*settings, "landmark_sd_mm", 0, 5, c.measure_settings.landmark_sd_mm);
    read_setting(*settings, "scan_sd_mm", 0, 1, c.measure_settings.scan_sd_mm);
    read_setting(*settings, "band_mm", 0.1, 20, c.contact_settings.band_mm);
    read_setting(*settings, "contact_mm", 0, 1, c.contact_settings.contact_mm);
    read_setting(*settings, "near_contact_mm", 0, 5, c.contact_settings.near_contact_mm);
  }
  const json* recipe = member(document, "recipe");
  c.recipe = recipe && recipe->is_object() ? recipe->dump() : std::string{};
  return Done{};
}

}  // namespace intercusp
