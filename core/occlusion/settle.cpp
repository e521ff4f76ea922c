#include "occlusion/settle.h"

#include <algorithm>
#include <cmath>

#include "base/parallel.h"
#include "geometry/pair_query.h"
#include "occlusion/chewing_samples.h"
#include "occlusion/reading.h"
#include "occlusion/relation.h"
#include "occlusion/seat_fit.h"
#include "occlusion/settle_conditions.h"
#include "occlusion/settle_starts.h"

namespace intercusp {
namespace {

constexpr double kCoarseStepMm = 2.2, kMiddleStepMm = 1.4, kFineStepMm = 0.7;
constexpr std::size_t kMostMiddle = 48, kMostFine = 6;
constexpr double kGridMm = 0.7, kGridMarginMm = 4;
constexpr double kSamePlaceMm = 0.5, kSameStartMm = 0.8;
constexpr double kRelationWeight = 3;  // the relation is what was asked for; all else is how well it can be had
constexpr double kSeatedMm = 0.1;
constexpr double kHarmlessOverlapMm = 0.1;
constexpr double kLeastSamples = 30;
const char* const kReadings[] = {"molar_right", "molar_left",          "canine_right", "canine_left",
                                 "overjet",     "midline_upper_lower", "overbite"};

// Towards the other jaw: the normal of an arch's own front and back teeth, else the frame's up direction.
Vec3 lower_up(const MeasureInput& in) {
  const Names names = {"31.incisal_edge_mid", "36.mesiobuccal_cusp", "46.mesiobuccal_cusp"};
  if (!absent(in, names).empty()) return in.frame->up;
  const Vec3 left = point_of(in, names[1]) - point_of(in, names[0]);
  const Vec3 right = point_of(in, names[2]) - point_of(in, names[0]);
  const Vec3 up = left.cross(right);
  return up.norm() > 1 ? Vec3(up.normalized()) : in.frame->up;
}

MeasureInput with_lower_moved(const MeasureInput& in, const Pose& motion) {
  MeasureInput out = in;
  out.upper = out.lower = PosedSurface();
  for (auto& [name, at] : out.points) {
    if (jaw_of_landmark(name) == Jaw::lower) at = motion * at;
  }
  return out;
}

class Search {
 public:
  Search(const MeasureInput& in, Jaw moving, const SettleSettings& settings, const Progress& progress)
      : in_(in), moving_(moving), settings_(settings), progress_(progress) {
    const std::vector<Vec3> upper = chewing_marks(in.points, Jaw::upper), lower = chewing_marks(in.points, Jaw::lower);
    for (const Vec3& p : lower) lower_middle_ += p / static_cast<double>(lower.size());
    const std::vector<Vec3> above = chewing_points_of(in.upper, upper, -in.frame->up);
    const std::vector<Vec3> below = chewing_points_of(in.lower, lower, lower_up(in));
    for (const double step : {kCoarseStepMm, kMiddleStepMm, kFineStepMm}) {
      SeatProblem problem;
      problem.upper = in.upper;
      problem.lower = in.lower;
      problem.lower_samples = thinned(below, step);
      problem.upper_samples = thinned(above, step);
      problem.conditions = [this](const Pose& motion) { return settle_conditions(in_, settings_, motion); };
      if (settings.pinned.empty()) problem.conditions = {};
      problems_.push_back(std::move(problem));
    }
    lay_grid();
  }

  Result<std::vector<SettleSolution>> run() {
    if (static_cast<double>(problems_[2].lower_samples.size()) < kLeastSamples ||
        static_cast<double>(problems_[2].upper_samples.size()) < kLeastSamples) {
      return Error{"the chewing surfaces were not found on the scans", "",
                   "place cusps and edges of both arches, on the scans they belong to"};
    }
    std::vector<SeatState> states;
    for (const Pose& start : settle_starts(in_)) states.push_back({start});
    // Only the last reach tells a seat from a place where much is merely near: nothing is dropped before.
    if (!fit(0, states, {{2, 5, false, 1e-3}, {1, 5, false, 1e-3}, {0.6, 5, false, 1e-3}, {0.35, 6}}, 100, 0, 0.4)) {
      return cancelled();
    }
    keep(states, kMostMiddle, kSameStartMm);
    if (!fit(1, states, {{0.45, 3}, {0.3, 3}}, 1.0, 0.4, 0.6)) return cancelled();
    keep(states, kMostMiddle / 2);
    if (!fit(1, states, {{0.15, 6}}, 0.8, 0.6, 0.7)) return cancelled();
    keep(states, kMostFine);
    if (!fit(2, states, {{0.15, 4}, {0.1, 6, true}, {0.07, 10, true}}, 0.6, 0.7, 0.9)) return cancelled();
    keep(states, settings_.most_solutions);
    return ranked(states);
  }

 private:
  // The upper arch's distances around its chewing surfaces, for the many first tries.
  void lay_grid() {
    Box region;
    const Pose own = in_.upper.patient_from_surface.inverse();
    for (const Vec3& p : problems_[0].upper_samples) region.extend(own * p);
    if (region.isEmpty()) return;
    const Vec3 margin = Vec3::Constant(kGridMarginMm);
    grid_ =
        DistanceGrid(*in_.upper.surface, Box(region.min() - margin, region.max() + margin), kGridMm, 2 * kGridMarginMm);
    problems_[0].upper_samples.clear();
    problems_[0].upper_grid = &grid_;
  }

  Error cancelled() const { return Error{"cancelled", "", ""}; }

  // All states through all stages, each with the samples that lie within `near_mm` at its beginning; false when
  // cancelled.
  bool fit(std::size_t level, std::vector<SeatState>& states, const std::vector<SeatStage>& stages, double near_mm,
           double from, double to) const {
    constexpr std::size_t kAtOnce = 8;
    for (std::size_t begin = 0; begin < states.size(); begin += kAtOnce) {
      if (progress_.cancelled()) return false;
      const std::size_t end = std::min(begin + kAtOnce, states.size());
      in_halves(end - begin, 2, [&](std::size_t first, std::size_t last) {
        for (std::size_t i = begin + first; i < begin + last; ++i) {
          const SeatProblem& whole = problems_[level];
          const bool part = near_mm < kGridMarginMm;
          const SeatProblem problem = part ? near_part(whole, states[i], near_mm) : whole;
          if (problem.lower_samples.empty()) continue;
          for (const SeatStage& stage : stages) states[i] = fit_seat(problem, states[i], stage);
        }
      });
      progress_.report(from + (to - from) * static_cast<double>(end) / static_cast<double>(states.size()));
    }
    return !progress_.cancelled();
  }

  double apart(const SeatState& a, const SeatState& b) const {
    double most = 0;
    for (const double side : {-25.0, 25.0}) {
      const Vec3 p = lower_middle_ + side * in_.frame->left;
      most = std::max(most, (a.motion * p - b.motion * p).norm());
    }
    const Vec3 front = lower_middle_ + 25 * in_.frame->forward;
    return std::max(most, (a.motion * front - b.motion * front).norm());
  }

  // The best `most` of different places, best first.
  void keep(std::vector<SeatState>& states, std::size_t most, double same_mm = kSamePlaceMm) const {
    std::stable_sort(states.begin(), states.end(),
                     [](const SeatState& a, const SeatState& b) { return a.energy < b.energy; });
    std::vector<SeatState> kept;
    for (const SeatState& s : states) {
      if (kept.size() == most) break;
      const bool known =
          std::any_of(kept.begin(), kept.end(), [&](const SeatState& k) { return apart(s, k) < same_mm; });
      if (!known) kept.push_back(s);
    }
    states = std::move(kept);
  }

  Result<std::vector<SettleSolution>> ranked(const std::vector<SeatState>& states) {
    std::vector<SettleSolution> out;
    PairQuery query(*in_.upper.surface, *in_.lower.surface);
    for (const SeatState& state : states) {
      if (progress_.cancelled()) return cancelled();
      out.push_back(solution(state, query));
    }
    double best = 0;
    for (const SettleSolution& s : out) best = std::max(best, s.seated_share);
    if (!(best > 0))
      return Error{"no position was found in which the arches seat", "", "check that both scans are of one patient"};
    for (SettleSolution& s : out) s.cost.seat = 10 * (1 - s.seated_share / best);
    std::stable_sort(out.begin(), out.end(),
                     [](const SettleSolution& a, const SettleSolution& b) { return a.cost.total() < b.cost.total(); });
    progress_.report(1);
    return out;
  }

  SettleSolution solution(const SeatState& state, PairQuery& query) const {
    SettleSolution s;
    s.motion = moving_ == Jaw::upper ? state.motion.inverse() : state.motion;
    s.seated_share = seated_share(problems_[2], state, kSeatedMm);
    read_bite(state, s);
    read_contacts(state, query, s);
    return s;
  }

  void read_bite(const SeatState& state, SettleSolution& s) const {
    const MeasureInput there = with_lower_moved(in_, state.motion);
    double off = 0, relations = 0;
    for (const char* id : kReadings) {
      const MeasureDefinition* d = find_measure(id);
      if (!d->missing(there).empty()) continue;
      const MeasureValue v = d->measure(there);
      s.reading[id] = v.value;
      if (!v.quarters) continue;
      s.quarters[id] = *v.quarters;
      const bool molar = d->id[0] == 'm';
      const double intended = (molar ? settings_.molar_quarters : settings_.canine_quarters) * 0.25 * *v.unit_mm;
      off += std::max(std::abs(v.value - intended) - *v.unit_mm / 8, 0.0);
      relations += 1;
    }
    if (relations > 0) s.cost.relation = kRelationWeight * off / relations;
    const auto beyond = [&](const char* id, const std::array<double, 2>& limits) {
      const auto found = s.reading.find(id);
      if (found == s.reading.end()) return 0.0;
      return std::max({limits[0] - found->second, found->second - limits[1], 0.0});
    };
    s.cost.midline = beyond("midline_upper_lower", {0, 0});
    s.cost.overjet = beyond("overjet", settings_.overjet_mm);
    s.cost.overbite = beyond("overbite", settings_.overbite_mm);
    for (const auto& [id, target] : settings_.pinned) s.cost.pinned += beyond(id.c_str(), {target, target});
  }

  void read_contacts(const SeatState& state, PairQuery& query, SettleSolution& s) const {
    ContactSettings close = settings_.contact;
    close.band_mm = close.near_contact_mm;
    const ContactResult r =
        query.at(in_.upper.patient_from_surface, state.motion * in_.lower.patient_from_surface, close);
    for (const ContactPatch& patch : r.contacts) {
      const std::size_t side = (patch.at - in_.frame->origin).dot(in_.frame->left) < 0 ? 0 : 1;
      s.contacts[side] += 1;
      s.area_mm2[side] += patch.area_mm2;
    }
    for (const OverlapRegion& region : r.regions) s.deepest_mm = std::max(s.deepest_mm, region.deepest_mm);
    s.cost.overlap = 10 * std::max(s.deepest_mm - kHarmlessOverlapMm, 0.0);
    for (const int contacts : s.contacts) s.cost.sides += contacts == 0 ? 3 : 0;
  }

  const MeasureInput& in_;
  Jaw moving_;
  const SettleSettings& settings_;
  const Progress& progress_;
  std::vector<SeatProblem> problems_;  // coarse, middle, fine
  DistanceGrid grid_;
  Vec3 lower_middle_ = Vec3::Zero();
};

}  // namespace

Result<std::vector<SettleSolution>> settle(const MeasureInput& input, Jaw moving, const SettleSettings& settings,
                                           const Progress& progress) {
  if (!input.upper.surface || !input.lower.surface) {
    return Error{"both scans are needed to seat the arches", "", "add the upper and the lower scan"};
  }
  if (!input.frame) {
    std::string list;
    for (const std::string& name : absent_with_frame(input, {})) list += (list.empty() ? "" : ", ") + name;
    return Error{"the occlusal frame is not known", "", "place " + list};
  }
  if (const Status fine = check_pins(input, settings); !fine) return fine.error();
  return Search(input, moving, settings, progress).run();
}

}  // namespace intercusp
