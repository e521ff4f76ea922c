#include "casebook/achieved_report.h"

#include <nlohmann/json.hpp>

#include "casebook/case_json.h"
#include "casebook/condyles.h"
#include "casebook/reports.h"
#include "surgery/movement_note.h"

namespace intercusp {

using nlohmann::json;

namespace {

json measures_json(const Case& planned, const Plan& plan, const SegmentPoses& poses, const Achieved& achieved) {
  const json as_planned = measure_report(planned, &plan, Moment::planned, poses);
  const auto start = values_by_id(measure_report(planned, nullptr, Moment::rest, {}));
  const auto reached = values_by_id(measure_report(planned, &plan, Moment::planned, achieved.poses));
  json rows = json::array();
  for (const json& row : as_planned["measures"]) {
    const std::string id = row["id"];
    const auto was = start.find(id), is = reached.find(id);
    if (was == start.end() || is == reached.end()) continue;
    const double wanted = row["value"];
    rows.push_back({{"id", id},
                    {"name", row["name"]},
                    {"unit", row["unit"]},
                    {"start", was->second},
                    {"planned", wanted},
                    {"achieved", is->second},
                    {"difference", is->second - wanted}});
  }
  return rows;
}

}  // namespace

json achieved_report(const Case& planned, const Plan& plan, const SegmentPoses& poses, const Achieved& achieved,
                     const std::string& achieved_id) {
  json segments = json::array();
  for (const AchievedSegment& s : achieved.segments)
    segments.push_back({{"segment", s.segment},
                        {"body", s.body},
                        {"residual_mm", s.residual_mm},
                        {"planned", movement_to_json(s.planned)},
                        {"achieved", movement_to_json(s.achieved)},
                        {"difference", movement_to_json(s.difference)},
                        {"words", movement_words(s.difference)},
                        {"largest_mm", s.largest_mm}});
  const json joints = condyle_report(planned, achieved.poses);
  return {{"planned", planned.id},
          {"plan", plan.name},
          {"achieved", achieved_id},
          {"laid_on", achieved.laid_on},
          {"residual_mm", achieved.residual_mm},
          {"segments", std::move(segments)},
          {"measures", measures_json(planned, plan, poses, achieved)},
          {"condyles", joints["condyles"]},
          {"not_compared", achieved.not_compared},
          {"caution",
           "A planning and teaching aid, not a medical device: verify against the records, with the condyles seated; "
           "licensed practice and local rules decide."}};
}

}  // namespace intercusp
