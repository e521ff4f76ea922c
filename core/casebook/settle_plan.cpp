#include "casebook/settle_plan.h"

#include <nlohmann/json.hpp>

#include "casebook/case_json.h"

namespace intercusp {

using nlohmann::json;

namespace {

json cost_row(const SettleCost& cost) {
  return {{"seat", cost.seat},         {"overlap", cost.overlap}, {"sides", cost.sides},
          {"relation", cost.relation}, {"midline", cost.midline}, {"overjet", cost.overjet},
          {"overbite", cost.overbite}, {"pinned", cost.pinned},   {"total", cost.total()}};
}

json solution_row(const SettleOffer& offer) {
  const SettleSolution& s = offer.solution;
  json row = {{"movement", movement_to_json(offer.entry.movement)},
              {"measures", json(s.reading)},
              {"quarters", json(s.quarters)},
              {"contacts", {{"right", s.contacts[0]}, {"left", s.contacts[1]}}},
              {"area_mm2", {{"right", s.area_mm2[0]}, {"left", s.area_mm2[1]}}},
              {"deepest_mm", s.deepest_mm},
              {"seated_share", s.seated_share},
              {"cost", cost_row(s.cost)}};
  return row;
}

}  // namespace

std::string segment_with_teeth(const Case& in_pieces, const std::string& jaw) {
  return jaw == "upper" && can_move(in_pieces, "maxilla").ok() ? "maxilla" : jaw;
}

Result<std::vector<SettleOffer>> settle_offers(const Case& c, const Plan* plan, const std::string& segment,
                                               const SettleSettings& settings, const Progress& progress) {
  if (const Status allowed = can_move(c, segment); !allowed.ok()) return allowed.error();
  const auto poses = segment_poses(c, plan, Moment::planned);
  if (!poses.ok()) return poses.error();
  const auto pivot = pivot_point(c, segment, "", poses.value());
  if (!pivot.ok()) return pivot.error();
  const MeasureInput input = measure_input(c, poses.value());
  const auto found = settle(input, is_lower_name(segment) ? Jaw::lower : Jaw::upper, settings, progress);
  if (!found.ok()) return found.error();
  std::vector<SettleOffer> offers;
  for (const SettleSolution& solution : found.value()) {
    offers.push_back({solution, {segment, movement_of(solution.motion, pivot.value()), ""}});
  }
  return offers;
}

json settle_report(const Case& c, const std::string& plan, const std::string& segment,
                   const std::vector<SettleOffer>& offers, std::size_t chosen) {
  json report = {
      {"case", c.id}, {"plan", plan}, {"moving", segment}, {"chosen", chosen + 1}, {"solutions", json::array()}};
  for (const SettleOffer& offer : offers) report["solutions"].push_back(solution_row(offer));
  return report;
}

}  // namespace intercusp
