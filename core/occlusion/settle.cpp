#include "occlusion/settle.h"

#include "geometry/pair_query.h"
#include "occlusion/settle_cost.h"
#include "occlusion/settle_setup.h"
#include "occlusion/settle_starts.h"

namespace intercusp {
namespace {

MeasureInput with_lower_moved(const MeasureInput& in, const Pose& motion) {
  MeasureInput out = in;
  out.upper = out.lower = PosedSurface();
  for (auto& [name, at] : out.points) {
    if (jaw_of_landmark(name) == Jaw::lower) at = motion * at;
  }
  return out;
}

SettleSolution solution_at(const MeasureInput& in, Jaw moving, const SettleSettings& settings, const SeatState& state,
                           const SeatProblem& fine, PairQuery& query) {
  SettleSolution s;
  s.motion = moving == Jaw::upper ? state.motion.inverse() : state.motion;
  s.seated_share = seated_share(fine, state, kSeatedWithinMm);
  read_bite(with_lower_moved(in, state.motion), settings, s);
  add_contacts(
      query.at(in.upper.patient_from_surface, state.motion * in.lower.patient_from_surface, near_contacts(settings)),
      *in.frame, s);
  sum_contacts(s);
  return s;
}

}  // namespace

Result<std::vector<SettleSolution>> settle(const MeasureInput& input, Jaw moving, const SettleSettings& settings,
                                           const Progress& progress) {
  if (const Status fine = check_settle(input, settings); !fine) return fine.error();
  const SeatSearch search(seat_question(input, settings));
  if (!search.enough()) return no_chewing_surfaces();
  std::vector<SeatState> starts;
  for (const Pose& start : settle_starts(input)) starts.push_back({start});
  const auto states = search.run(std::move(starts), {}, settings.most_solutions, true, {progress, 0, 0.9});
  if (!states) return settling_cancelled();
  std::vector<SettleSolution> out;
  PairQuery query(*input.upper.surface, *input.lower.surface);
  for (const SeatState& state : *states) {
    if (progress.cancelled()) return settling_cancelled();
    out.push_back(solution_at(input, moving, settings, state, search.fine(), query));
  }
  if (!rank(out)) return nothing_seats();
  progress.report(1);
  return out;
}

}  // namespace intercusp
