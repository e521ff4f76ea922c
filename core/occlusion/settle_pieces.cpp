#include "occlusion/settle_pieces.h"

#include <algorithm>
#include <memory>

#include "base/parallel.h"
#include "geometry/pair_query.h"
#include "occlusion/chewing_samples.h"
#include "occlusion/pieces_fit.h"
#include "occlusion/settle_cost.h"
#include "occlusion/settle_setup.h"
#include "occlusion/settle_starts.h"

namespace intercusp {
namespace {

constexpr std::size_t kWholePlaces = 4, kPiecePlaces = 5;  // gone on with from the whole and from each piece
constexpr std::size_t kSetsRead = 24, kBestSets = 3, kSetsFitted = 7;
constexpr double kWatchedOfPieceMm = 10;
constexpr double kSharedLowerMm = 0.35, kBelowMm = 15;
constexpr double kAroundWholeMm = 1.5;
constexpr double kSamePiecesMm = 0.5, kElsewhereMm = 2.5;
constexpr double kNearSetMm = 1, kNearFineSetMm = 0.6;

bool same_motion(const Pose& a, const Pose& b) {
  return (a.matrix() - b.matrix()).cwiseAbs().maxCoeff() < 1e-9;
}

// The places that one piece found by itself, and how much of it seats there.
struct PieceSearch {
  std::unique_ptr<SeatSearch> search;
  std::vector<Vec3> watched;
  std::vector<SeatState> found;
};

// One place of every piece, and what speaks against it as far as it was looked at.
struct PieceSet {
  PiecesState state;
  SettleSolution seen;
};

class PiecesSearch {
 public:
  PiecesSearch(const PiecedArch& arch, const SettleSettings& settings, const Progress& progress)
      : arch_(arch), settings_(settings), progress_(progress), ties_(arch, settings), joined_(joined_arch(arch)) {}

  Result<std::vector<SettleSolution>> run() {
    if (const Status fine = check_settle(joined_, settings_); !fine) return fine.error();
    question_ = seat_question(joined_, settings_);
    question_.conditions = {};  // the pieces meet the pinned values together
    if (const Status seated = seat_whole(); !seated) return seated.error();
    share_lower();
    for (std::size_t piece = 0; piece < arch_.pieces.size(); ++piece) {
      if (!seat_piece(piece)) return settling_cancelled();
    }
    std::vector<PieceSet> sets = best_sets();
    if (!settle_together(sets)) return settling_cancelled();
    return ranked(sets);
  }

 private:
  Status seat_whole() {
    const SeatSearch search(question_);
    if (!search.enough()) return no_chewing_surfaces();
    std::vector<SeatState> starts;
    for (const Pose& start : settle_starts(joined_)) starts.push_back({start});
    auto found = search.run(std::move(starts), {}, kWholePlaces, false, {progress_, 0, 0.4});
    if (!found) return settling_cancelled();
    whole_ = std::move(*found);
    return Done{};
  }

  // The points of the lower arch by the piece that is nearest where the whole seats best: those below its neighbour
  // would draw a piece towards the cut.
  void share_lower() {
    below_.resize(arch_.pieces.size());
    for (const Vec3& p : thinned(question_.lower_points, kSharedLowerMm)) {
      std::size_t nearest = 0;
      double least = kBelowMm;
      for (std::size_t piece = 0; piece < arch_.pieces.size(); ++piece) {
        const Surface& teeth = *arch_.pieces[piece].arch.surface;
        const Pose there = arch_.pieces[piece].arch.patient_from_surface.inverse() * to_piece(piece);
        ClosestPoint found;
        if (!teeth.bvh().closest(teeth.mesh(), there * (whole_.front().motion * p), least, found)) continue;
        nearest = piece;
        least = found.distance_mm;
      }
      if (least < kBelowMm) below_[nearest].push_back(p);
    }
  }

  // From the arch in one piece, where it was seated as a whole, to a piece where it stands.
  Pose to_piece(std::size_t piece) const { return arch_.pieces[piece].moved * arch_.pieces.front().moved.inverse(); }

  bool seat_piece(std::size_t piece) {
    const Pose there = to_piece(piece);
    SeatQuestion own = question_;
    own.upper = arch_.pieces[piece].arch;
    own.upper_points = chewing_points_of(own.upper, marks_of(piece), -(there.linear() * joined_.frame->up));
    own.lower_points = below_[piece];
    own.watched = watched_by(piece);
    PieceSearch search{std::make_unique<SeatSearch>(own), own.watched, {}};
    const double share = 0.3 / static_cast<double>(arch_.pieces.size()),
                 from = 0.4 + share * static_cast<double>(piece);
    std::vector<SeatState> near;
    for (const SeatState& state : whole_) near.push_back({there * state.motion});
    if (search.search->enough()) {
      auto found = search.search->run(starts_of(piece), near, kPiecePlaces, false, {progress_, from, from + share});
      if (!found) return false;
      search.found = std::move(*found);
    }
    // What a piece finds alone may leave the best of the whole, or be nothing: that stays a choice.
    search.found.insert(search.found.end(), near.begin(), near.end());
    searches_.push_back(std::move(search));
    return true;
  }

  std::vector<Vec3> marks_of(std::size_t piece) const { return chewing_marks(points_of(piece), Jaw::upper); }

  // The landmarks of the lower arch, and of the upper one those of the piece.
  PointMap points_of(std::size_t piece) const {
    PointMap out;
    for (const auto& [name, at] : arch_.input.points) {
      const auto of = arch_.piece_of.find(name);
      const bool own = of != arch_.piece_of.end() && of->second == piece;
      if (own || jaw_of_landmark(name) == Jaw::lower) out[name] = at;
    }
    return out;
  }

  // Points of the lower arch that lie below the piece once it is seated.
  std::vector<Vec3> watched_by(std::size_t piece) const {
    Vec3 middle = Vec3::Zero();
    const std::vector<Vec3> marks = marks_of(piece);
    for (const Vec3& p : marks) middle += p / static_cast<double>(marks.size());
    const Pose to_lower = (to_piece(piece) * whole_.front().motion).inverse();
    std::vector<Vec3> out;
    for (const Vec3& to : {Vec3(-joined_.frame->left), joined_.frame->left, joined_.frame->forward}) {
      out.push_back(to_lower * (middle + kWatchedOfPieceMm * to));
    }
    return out;
  }

  // Where the piece stands, where the whole was seated, and where its landmarks would lie; where it has too few of
  // them, around where the whole was seated.
  std::vector<SeatState> starts_of(std::size_t piece) const {
    MeasureInput own = joined_;
    own.points = points_of(piece);
    std::vector<Pose> starts = landmark_starts(own);
    const int around = starts.empty() ? 1 : 0;
    starts.push_back(Pose::Identity());
    for (const SeatState& state : whole_) {
      for (int ahead = -around; ahead <= around; ++ahead) {
        for (int up = -around; up <= around; ++up) {
          const Vec3 by = ahead * joined_.frame->forward + up * joined_.frame->up;
          starts.push_back(to_piece(piece) * state.motion);
          starts.back().pretranslate(kAroundWholeMm * by);
        }
      }
    }
    std::vector<SeatState> out;
    for (const Pose& start : starts) {
      const bool known =
          std::any_of(out.begin(), out.end(), [&](const SeatState& s) { return same_motion(s.motion, start); });
      if (!known) out.push_back({start});
    }
    return out;
  }

  // Every choice of one place for each piece.
  std::vector<PieceSet> all_sets() const {
    std::vector<PieceSet> sets(1);
    for (const PieceSearch& piece : searches_) {
      std::vector<PieceSet> longer;
      for (const PieceSet& set : sets) {
        for (const SeatState& state : piece.found) {
          longer.push_back(set);
          longer.back().state.pieces.push_back(state);
        }
      }
      sets = std::move(longer);
    }
    return sets;
  }

  // Those that cost least: at first without their bite, which takes longer to read.
  std::vector<PieceSet> best_sets() const {
    std::vector<PieceSet> sets = all_sets();
    PiecesProblem problem = problem_of(&SeatSearch::middle);
    std::vector<std::vector<double>> seated;
    for (std::size_t i = 0; i < searches_.size(); ++i) {
      seated.emplace_back();
      for (const SeatState& state : searches_[i].found)
        seated.back().push_back(seated_share(problem.pieces[i], state, kSeatedWithinMm));
    }
    for (std::size_t i = 0; i < sets.size(); ++i) {
      std::vector<double> own(searches_.size());
      std::size_t rest = i;  // the last piece's places change fastest
      for (std::size_t piece = searches_.size(); piece-- > 0; rest /= seated[piece].size()) {
        own[piece] = seated[piece][rest % seated[piece].size()];
      }
      sets[i].seen.seated_share = seated_share(problem, own);
      ties_.report(sets[i].state.motions(), sets[i].seen);
    }
    cut_to(sets, kSetsRead);
    for (PieceSet& set : sets) read_bite(ties_.input_at(set.state.motions()), settings_, set.seen);
    cut_to(sets, kSetsRead);
    return first_and_others(sets);
  }

  // The best, whatever they are, and the best that are elsewhere: most of what is near the best comes to the same
  // place.
  std::vector<PieceSet> first_and_others(const std::vector<PieceSet>& sets) const {
    std::vector<PieceSet> out;
    for (const PieceSet& set : sets) {
      const bool near = std::any_of(out.begin(), out.end(), [&](const PieceSet& known) {
        return same_place(known.state, set.state, kElsewhereMm);
      });
      if (out.size() < kSetsFitted && (out.size() < kBestSets || !near)) out.push_back(set);
    }
    return out;
  }

  // The `most` that cost least; the others go.
  static void cut_to(std::vector<PieceSet>& sets, std::size_t most) {
    double best = 1e-9;
    for (const PieceSet& set : sets) best = std::max(best, set.seen.seated_share);
    for (PieceSet& set : sets) set.seen.cost.seat = seat_cost(set.seen.seated_share, best);
    std::stable_sort(sets.begin(), sets.end(),
                     [](const PieceSet& a, const PieceSet& b) { return a.seen.cost.total() < b.seen.cost.total(); });
    if (sets.size() > most) sets.erase(sets.begin() + static_cast<long>(most), sets.end());
  }

  PiecesProblem problem_of(const SeatProblem& (SeatSearch::*level)() const) const {
    PiecesProblem problem;
    problem.ties = &ties_;
    for (const PieceSearch& piece : searches_) problem.pieces.push_back(((*piece.search).*level)());
    return problem;
  }

  static PiecesProblem near_sets(const PiecesProblem& problem, const PiecesState& state, double near_mm) {
    PiecesProblem near;
    near.ties = problem.ties;
    for (std::size_t i = 0; i < problem.pieces.size(); ++i)
      near.pieces.push_back(near_part(problem.pieces[i], state.pieces[i], near_mm));
    return near;
  }

  PiecesState settled(const PiecesProblem& problem, PiecesState state, double near_mm,
                      const std::vector<SeatStage>& stages) const {
    const PiecesProblem near = near_sets(problem, state, near_mm);
    for (const SeatStage& stage : stages) state = fit_pieces(near, std::move(state), stage);
    return state;
  }

  bool settle_together(std::vector<PieceSet>& sets) const {
    const PiecesProblem middle = problem_of(&SeatSearch::middle), fine = problem_of(&SeatSearch::fine);
    for (std::size_t begin = 0; begin < sets.size(); begin += 2) {
      if (progress_.cancelled()) return false;
      const std::size_t end = std::min(begin + 2, sets.size());
      in_halves(end - begin, 2, [&](std::size_t first, std::size_t last) {
        for (std::size_t i = begin + first; i < begin + last; ++i) {
          PiecesState& state = sets[i].state;
          for (SeatState& piece : state.pieces) piece.shared_gap_mm = SeatState().shared_gap_mm;
          state = settled(middle, std::move(state), kNearSetMm, {{0.3, 4}, {0.15, 6}});
          state = settled(fine, std::move(state), kNearFineSetMm, {{0.15, 4}, {0.1, 6, true}, {0.07, 10, true}});
        }
      });
      progress_.report(0.7 + 0.2 * static_cast<double>(end) / static_cast<double>(sets.size()));
    }
    return !progress_.cancelled();
  }

  bool same_place(const PiecesState& a, const PiecesState& b, double within_mm) const {
    for (std::size_t i = 0; i < searches_.size(); ++i) {
      for (const Vec3& p : searches_[i].watched) {
        if ((a.pieces[i].motion * p - b.pieces[i].motion * p).norm() >= within_mm) return false;
      }
    }
    return true;
  }

  Result<std::vector<SettleSolution>> ranked(std::vector<PieceSet>& sets) const {
    std::stable_sort(sets.begin(), sets.end(),
                     [](const PieceSet& a, const PieceSet& b) { return a.state.cost < b.state.cost; });
    const PiecesProblem fine = problem_of(&SeatSearch::fine);
    std::vector<PairQuery> queries;
    for (const ArchPiece& piece : arch_.pieces) queries.emplace_back(*piece.arch.surface, *arch_.input.lower.surface);
    std::vector<const PieceSet*> kept;
    std::vector<SettleSolution> out;
    for (const PieceSet& set : sets) {
      if (progress_.cancelled()) return settling_cancelled();
      const bool known = std::any_of(kept.begin(), kept.end(),
                                     [&](const PieceSet* k) { return same_place(k->state, set.state, kSamePiecesMm); });
      if (known) continue;
      kept.push_back(&set);
      out.push_back(solution_of(set.state, fine, queries));
    }
    if (!rank(out)) return nothing_seats();
    if (out.size() > settings_.most_solutions) out.resize(settings_.most_solutions);
    progress_.report(1);
    return out;
  }

  SettleSolution solution_of(const PiecesState& state, const PiecesProblem& fine,
                             std::vector<PairQuery>& queries) const {
    SettleSolution s;
    const PieceMotions motions = state.motions();
    s.motion = ties_.moved_as_whole(motions);
    const MeasureInput there = ties_.input_at(motions);
    read_bite(there, settings_, s);
    std::vector<double> own;
    for (std::size_t i = 0; i < arch_.pieces.size(); ++i) {
      const PosedSurface& arch = arch_.pieces[i].arch;
      const ContactResult contact = queries[i].at(motions[i] * arch.patient_from_surface,
                                                  arch_.input.lower.patient_from_surface, near_contacts(settings_));
      add_contacts(contact, there.frame.value_or(*joined_.frame), s);
      own.push_back(seated_share(fine.pieces[i], state.pieces[i], kSeatedWithinMm));
      s.pieces.push_back({arch_.pieces[i].name, motions[i], own.back(), static_cast<int>(contact.contacts.size())});
    }
    s.seated_share = seated_share(fine, own);
    sum_contacts(s);
    ties_.report(motions, s);
    return s;
  }

  const PiecedArch& arch_;
  const SettleSettings& settings_;
  const Progress& progress_;
  PieceTies ties_;
  MeasureInput joined_;
  SeatQuestion question_;
  std::vector<SeatState> whole_;
  std::vector<std::vector<Vec3>> below_;  // of the lower arch, for each piece
  std::vector<PieceSearch> searches_;
};

}  // namespace

Result<std::vector<SettleSolution>> settle_pieces(const PiecedArch& arch, const SettleSettings& settings,
                                                  const Progress& progress) {
  if (arch.pieces.size() < 2) return Error{"the upper jaw is in one piece", "", "cut the upper jaw first"};
  for (const ArchPiece& piece : arch.pieces) {
    if (!piece.arch.surface)
      return Error{"the scan of " + piece.name + " is missing", "", "add the upper scan before the cut"};
  }
  return PiecesSearch(arch, settings, progress).run();
}

}  // namespace intercusp
