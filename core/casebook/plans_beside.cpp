#include "casebook/plans_beside.h"

#include <algorithm>
#include <cmath>

#include <nlohmann/json.hpp>

#include "casebook/case_json.h"
#include "casebook/cut_case.h"
#include "casebook/reports.h"
#include "surgery/movement_note.h"

namespace intercusp {

using nlohmann::json;

namespace {

/// A plan carried out.
struct PlanDone {
  Case in_pieces;
  SegmentPoses poses;
  json measures;
};

Result<PlanDone> carried_out(const Case& c, const std::string& name, PieceCache& cache) {
  const Plan* plan = c.find_plan(name);
  if (!plan) return Error{"there is no plan " + name, c.id, "choose one of the plans of this case"};
  auto cut = with_cuts(c, plan, &cache);
  if (!cut) return cut.error();
  auto poses = segment_poses(cut.value(), plan, Moment::planned);
  if (!poses) return poses.error();
  json measures = measure_report(cut.value(), plan, Moment::planned, poses.value());
  return PlanDone{std::move(cut).value(), std::move(poses).value(), std::move(measures)};
}

bool has_segment(const Case& c, const std::string& segment) {
  const auto all = movable_segments(c);
  return std::find(all.begin(), all.end(), segment) != all.end();
}

json moved_from_rest(const PlanDone& plan, const std::string& segment) {
  if (!has_segment(plan.in_pieces, segment)) return nullptr;
  const auto pivot = pivot_point(plan.in_pieces, segment, "", {});
  if (!pivot) return nullptr;
  return movement_to_json(movement_of(pose_of_segment(plan.poses, segment), pivot.value()));
}

json segment_row(const std::string& segment, const PlanDone& first, const PlanDone& second) {
  json row = {{"segment", segment},
              {"first", moved_from_rest(first, segment)},
              {"second", moved_from_rest(second, segment)},
              {"difference", nullptr},
              {"words", "only one of the plans has it"}};
  const auto pivot = pivot_point(first.in_pieces, segment, "", first.poses);
  if (row["first"].is_null() || row["second"].is_null() || !pivot) return row;
  const Pose change = pose_of_segment(second.poses, segment) * pose_of_segment(first.poses, segment).inverse();
  const Movement difference = movement_of(change, pivot.value());
  row["difference"] = movement_to_json(difference);
  row["words"] = movement_words(difference);
  return row;
}

json segments_beside(const PlanDone& first, const PlanDone& second) {
  json rows = json::array();
  std::vector<std::string> names = movable_segments(first.in_pieces);
  for (const std::string& more : movable_segments(second.in_pieces))
    if (!has_segment(first.in_pieces, more)) names.push_back(more);
  for (const std::string& name : names)
    if (first.poses.count(name) || second.poses.count(name)) rows.push_back(segment_row(name, first, second));
  return rows;
}

json measures_beside(const Case& c, const json& first, const json& second) {
  const auto start = values_by_id(measure_report(c, nullptr, Moment::rest, {})), other = values_by_id(second);
  json rows = json::array();
  for (const json& row : first["measures"]) {
    const std::string id = row["id"];
    const auto was = start.find(id), there = other.find(id);
    if (there == other.end()) continue;
    const double here = row["value"];
    rows.push_back({{"id", id},
                    {"name", row["name"]},
                    {"unit", row["unit"]},
                    {"start", was == start.end() ? json() : json(was->second)},
                    {"first", here},
                    {"second", there->second},
                    {"difference", there->second - here}});
  }
  return rows;
}

json meeting_json(const ContactResult& r) {
  return {{"deepest_mm", r.regions.empty() ? 0.0 : r.regions.front().deepest_mm},
          {"volume_mm3", r.overlap_volume_mm3 ? json(*r.overlap_volume_mm3) : json()},
          {"gap_mm", std::isfinite(r.minimum_distance_mm) ? json(r.minimum_distance_mm) : json()}};
}

/// What meets under one plan, by the names of both bodies.
using Meetings = std::map<std::pair<std::string, std::string>, json>;

Result<Meetings> meetings_of(const PlanDone& plan, KeptQueries& kept) {
  const auto pairs = pairs_to_compare(plan.in_pieces, plan.poses);
  if (!pairs) return pairs.error();
  Meetings meetings;
  for (const ContactPair& pair : contacts_of(pairs.value(), plan.in_pieces.contact_settings, &kept))
    meetings[{pair.first, pair.second}] = meeting_json(pair.result);
  return meetings;
}

json clearance_beside(const Meetings& first, const Meetings& second) {
  json rows = json::array();
  Meetings all = first;
  all.insert(second.begin(), second.end());
  for (const auto& [between, ignored] : all) {
    const auto a = first.find(between), b = second.find(between);
    const json one = a == first.end() ? json() : a->second, other = b == second.end() ? json() : b->second;
    const auto overlaps = [](const json& m) { return !m.is_null() && m["deepest_mm"].get<double>() > 0; };
    const bool arches = is_dental(between.first) && is_dental(between.second);
    if (arches || overlaps(one) || overlaps(other))
      rows.push_back({{"between", {between.first, between.second}}, {"first", one}, {"second", other}});
  }
  return rows;
}

}  // namespace

Result<json> plans_beside(const Case& c, const std::string& first, const std::string& second,
                          const Progress& progress) {
  if (first == second) return Error{"a plan is the same as itself", "plan " + first, "name two different plans"};
  const auto goes_on = [&progress](double fraction) {
    progress.report(fraction);
    return !progress.cancelled();
  };
  const Error stopped{"the comparison was stopped", "", "start it again"};
  PieceCache cache;  // what both plans saw alike is sawn once,
  KeptQueries kept;  // and what stands alike in both is looked at from there
  const auto a = carried_out(c, first, cache);
  if (!a) return a.error();
  if (!goes_on(0.3)) return stopped;
  const auto b = carried_out(c, second, cache);
  if (!b) return b.error();
  if (!goes_on(0.6)) return stopped;
  const auto touching_a = meetings_of(a.value(), kept);
  if (!touching_a) return touching_a.error();
  if (!goes_on(0.8)) return stopped;
  const auto touching_b = meetings_of(b.value(), kept);
  if (!touching_b) return touching_b.error();
  return json{{"case", c.id},
              {"plans", {first, second}},
              {"segments", segments_beside(a.value(), b.value())},
              {"measures", measures_beside(c, a.value().measures, b.value().measures)},
              {"clearance", clearance_beside(touching_a.value(), touching_b.value())},
              {"caution",
               "A planning and teaching aid, not a medical device: verify against the records; licensed practice and "
               "local rules decide."}};
}

}  // namespace intercusp
