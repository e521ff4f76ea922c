#include "casebook/settle_plan.h"

#include <nlohmann/json.hpp>

#include "casebook/case_json.h"
#include "occlusion/settle_pieces.h"

namespace intercusp {

using nlohmann::json;

namespace {

/// "upper_arch_right" of "maxilla_right".
std::string arch_of_piece(const std::string& segment) {
  return "upper_arch" + segment.substr(std::string("maxilla").size());
}

json cost_row(const SettleCost& cost, bool in_pieces) {
  json row = {{"seat", cost.seat},         {"overlap", cost.overlap}, {"sides", cost.sides},
              {"relation", cost.relation}, {"midline", cost.midline}, {"overjet", cost.overjet},
              {"overbite", cost.overbite}, {"pinned", cost.pinned},   {"total", cost.total()}};
  if (in_pieces)
    row.update(
        {{"expansion", cost.expansion}, {"steps", cost.steps}, {"neighbours", cost.neighbours}, {"apart", cost.apart}});
  return row;
}

json solution_row(const SettleOffer& offer) {
  const SettleSolution& s = offer.solution;
  json row = {{"movement", movement_to_json(offer.entries.front().movement)},
              {"measures", json(s.reading)},
              {"quarters", json(s.quarters)},
              {"contacts", {{"right", s.contacts[0]}, {"left", s.contacts[1]}}},
              {"area_mm2", {{"right", s.area_mm2[0]}, {"left", s.area_mm2[1]}}},
              {"deepest_mm", s.deepest_mm},
              {"seated_share", s.seated_share},
              {"cost", cost_row(s.cost, !s.pieces.empty())}};
  return row;
}

void add_pieces(const SettleOffer& offer, json& row) {
  const SettleSolution& s = offer.solution;
  row["pieces"] = json::array();
  for (std::size_t i = 0; i < s.pieces.size(); ++i) {
    row["pieces"].push_back({{"segment", s.pieces[i].name},
                             {"movement", movement_to_json(offer.entries[i + 1].movement)},
                             {"contacts", s.pieces[i].contacts},
                             {"seated_share", s.pieces[i].seated_share}});
  }
  row["cuts"] = json::array();
  for (const SeatedCut& cut : s.cuts) {
    row["cuts"].push_back({{"teeth", cut.teeth}, {"space_mm", cut.space_mm}, {"step_mm", cut.step_mm}});
  }
  row["expansion"] = json::object();
  if (s.canine_expansion_mm) row["expansion"]["canines_mm"] = *s.canine_expansion_mm;
  if (s.molar_expansion_mm) row["expansion"]["molars_mm"] = *s.molar_expansion_mm;
}

/// Adds entries one after the other, as a plan works through them.
class EntryWriter {
 public:
  EntryWriter(const Case& c, SegmentPoses poses) : c_(c), poses_(std::move(poses)) {}

  /// The movement of `segment` that is this change of pose.
  Status add(const std::string& segment, const Pose& change) {
    const auto pivot = pivot_point(c_, segment, "", poses_);
    if (!pivot.ok()) return pivot.error();
    entries_.push_back({segment, movement_of(change, pivot.value()), ""});
    const Pose made = pose_of(entries_.back().movement, pivot.value());
    for (const std::string& moved : moved_with(segment)) {
      Pose& pose = poses_.try_emplace(moved, Pose::Identity()).first->second;
      pose = made * pose;
    }
    return Done{};
  }

  Pose now(const std::string& segment) const { return pose_of_segment(poses_, segment); }
  std::vector<PlanEntry> take() { return std::move(entries_); }

 private:
  const Case& c_;
  SegmentPoses poses_;
  std::vector<PlanEntry> entries_;
};

/// One for the jaw, then one for each of its pieces.
Result<std::vector<PlanEntry>> entries_of(const Case& c, const SegmentPoses& poses, const std::string& segment,
                                          const SettleSolution& s) {
  EntryWriter writer(c, poses);
  if (const Status whole = writer.add(segment, s.motion); !whole) return whole.error();
  for (const SeatedPiece& piece : s.pieces) {
    const Pose there = piece.motion * pose_of_segment(poses, piece.name);
    if (const Status moved = writer.add(piece.name, there * writer.now(piece.name).inverse()); !moved)
      return moved.error();
  }
  return writer.take();
}

/// The upper arch in its pieces where they stand.
PiecedArch pieced_arch(const Case& c, const SegmentPoses& poses) {
  PiecedArch arch;
  arch.input = measure_input(c, poses);
  for (const std::string& segment : upper_pieces(c)) {
    const Body& body = *c.find_body(arch_of_piece(segment));
    for (const auto& [name, landmark] : c.landmarks) {
      if (segment_of_landmark(c, name) == segment) arch.piece_of[name] = arch.pieces.size();
    }
    arch.pieces.push_back({segment, {body.surface, pose_of_body(c, body, poses)}, pose_of_segment(poses, segment)});
  }
  return arch;
}

Result<std::vector<SettleSolution>> solutions_of(const Case& c, const SegmentPoses& poses, const SettleMoving& moving,
                                                 const SettleSettings& settings, const Progress& progress) {
  if (moving.in_pieces) return settle_pieces(pieced_arch(c, poses), settings, progress);
  MeasureInput input = measure_input(c, poses);
  if (!input.upper.surface && !upper_pieces(c).empty()) {
    PiecedArch arch = pieced_arch(c, poses);
    for (ArchPiece& piece : arch.pieces) piece.moved = Pose::Identity();
    input.upper = joined_arch(arch).upper;
  }
  return settle(input, is_lower_name(moving.segment) ? Jaw::lower : Jaw::upper, settings, progress);
}

}  // namespace

std::string segment_with_teeth(const Case& in_pieces, const std::string& jaw) {
  return jaw == "upper" && can_move(in_pieces, "maxilla").ok() ? "maxilla" : jaw;
}

std::vector<std::string> upper_pieces(const Case& in_pieces) {
  std::vector<std::string> out;
  for (const char* segment : {"maxilla_right", "maxilla_left", "maxilla_front"}) {
    if (in_pieces.find_body(arch_of_piece(segment))) out.emplace_back(segment);
  }
  return out;
}

Result<std::vector<SettleOffer>> settle_offers(const Case& c, const Plan* plan, const SettleMoving& moving,
                                               const SettleSettings& settings, const Progress& progress) {
  if (const Status allowed = can_move(c, moving.segment); !allowed.ok()) return allowed.error();
  const auto poses = segment_poses(c, plan, Moment::planned);
  if (!poses.ok()) return poses.error();
  const auto found = solutions_of(c, poses.value(), moving, settings, progress);
  if (!found.ok()) return found.error();
  std::vector<SettleOffer> offers;
  for (const SettleSolution& solution : found.value()) {
    auto entries = entries_of(c, poses.value(), moving.segment, solution);
    if (!entries.ok()) return entries.error();
    offers.push_back({solution, std::move(entries).value()});
  }
  return offers;
}

json settle_report(const Case& c, const std::string& plan, const SettleMoving& moving,
                   const std::vector<SettleOffer>& offers, std::size_t chosen) {
  json report = {{"case", c.id},
                 {"plan", plan},
                 {"moving", moving.segment},
                 {"pieces", moving.in_pieces ? upper_pieces(c).size() : 1},
                 {"chosen", chosen + 1},
                 {"solutions", json::array()}};
  for (const SettleOffer& offer : offers) {
    report["solutions"].push_back(solution_row(offer));
    if (moving.in_pieces) add_pieces(offer, report["solutions"].back());
  }
  return report;
}

}  // namespace intercusp
