#include "casebook/face_plan.h"

#include <nlohmann/json.hpp>

namespace intercusp {

using nlohmann::json;

namespace {

std::optional<Vec3> middle_of_incisors(const PointMap& points) {
  const auto right = points.find("11.incisal_edge_mid"), left = points.find("21.incisal_edge_mid");
  if (right == points.end() || left == points.end()) return std::nullopt;
  return Vec3(0.5 * (right->second + left->second));
}

std::optional<FaceMove::Sides> sides_of(const PointMap& before, const PointMap& after) {
  for (const auto& [right, left] :
       {std::pair("16.mesiobuccal_cusp", "26.mesiobuccal_cusp"), std::pair("13.cusp_tip", "23.cusp_tip")}) {
    if (before.count(right) && before.count(left) && after.count(right) && after.count(left))
      return FaceMove::Sides{before.at(right), before.at(left), after.at(right), after.at(left)};
  }
  return std::nullopt;
}

json number_or_null(const std::optional<double>& value) {
  return value ? json(*value) : json();
}

}  // namespace

std::optional<FaceMove> face_move(const Case& c, const SegmentPoses& poses) {
  const PointMap before = points_at(c, {}), after = points_at(c, poses);
  const auto from = middle_of_incisors(before), to = middle_of_incisors(after);
  if (!from || !to) return std::nullopt;
  return FaceMove{*to - *from, sides_of(before, after)};
}

std::string face_name(const FaceRow& row) {
  return row.words.substr(0, row.words.find(", positive"));
}

json face_report(const Case& c, const std::optional<SegmentPoses>& poses) {
  json rows = json::array();
  for (const FaceRow& row : face_rows(c.face, poses ? face_move(c, *poses) : std::nullopt)) {
    rows.push_back({{"id", row.id},
                    {"words", row.words},
                    {"recorded", number_or_null(row.recorded)},
                    {"planned", row.planned_least ? json{*row.planned_least, *row.planned_most} : json()},
                    {"usual", row.usual},
                    {"ratio", row.ratio},
                    {"remark", row.remark}});
  }
  return {{"face", std::move(rows)}, {"sex", c.face.sex}};
}

json face_to_json(const FaceRecord& record) {
  json out = record.numbers;
  if (record.numbers.empty()) out = json::object();
  if (!record.sex.empty()) out["sex"] = record.sex;
  return out;
}

Result<FaceRecord> face_from_json(const json& document) {
  if (!document.is_object()) return Error{"what is recorded of the face is not an object", "face", ""};
  FaceRecord record;
  for (const FaceItem& item : face_items()) {
    const auto found = document.find(item.key);
    if (found == document.end()) continue;
    if (!found->is_number()) return Error{item.words + " is not a number", "face." + item.key, ""};
    const Status set = set_face_number(record, item.key, found->get<double>());
    if (!set.ok()) return Error{set.error().what, "face." + item.key, set.error().remedy};
  }
  const auto sex = document.find("sex");
  if (sex != document.end()) {
    const Status set = set_face_sex(record, sex->is_string() ? sex->get<std::string>() : "?");
    if (!set.ok()) return Error{set.error().what, "face.sex", set.error().remedy};
  }
  return record;
}

}  // namespace intercusp
