#include "occlusion/pieces_fit.h"

#include <Eigen/Dense>

#include "occlusion/damped_steps.h"

namespace intercusp {
namespace {

constexpr double kTieStep = 1e-5;  // mm or radians: for the slopes of the ties

std::size_t samples_of(const SeatProblem& problem) {
  return problem.lower_samples.size() + problem.upper_samples.size() + problem.left_out;
}

class PiecesFitter {
 public:
  PiecesFitter(const PiecesProblem& problem, const SeatStage& stage, const PiecesState& from)
      : ties_(*problem.ties), stage_(stage), whole_(ties_.as_whole(from.motions())) {
    double all = 0;
    for (const SeatProblem& piece : problem.pieces) {
      fitters_.emplace_back(piece, stage);
      shares_.push_back(static_cast<double>(samples_of(piece)));
      all += shares_.back();
    }
    for (double& share : shares_) share /= all;
  }

  PiecesState run(PiecesState state) const {
    auto [end, there] = damped_steps(
        std::move(state), {stage_.steps, 8, stage_.least_gain}, [this](const PiecesState& s) { return equations(s); },
        [this](const PiecesState& s, const Equations& e, double lambda) { return stepped(s, solved(e, lambda)); });
    end.cost = there.cost;
    for (std::size_t i = 0; i < fitters_.size(); ++i) end.pieces[i].energy = there.energies[i];
    return end;
  }

 private:
  // Six unknowns a piece, then the shared gap.
  struct Equations {
    Eigen::MatrixXd matrix;
    Eigen::VectorXd right;
    double cost = 0;
    std::vector<double> energies;
  };

  Eigen::Index unknowns() const { return 6 * static_cast<Eigen::Index>(fitters_.size()) + 1; }

  Equations equations(const PiecesState& state) const {
    Equations e;
    e.matrix = Eigen::MatrixXd::Zero(unknowns(), unknowns());
    e.right = Eigen::VectorXd::Zero(unknowns());
    const Eigen::Index gap = unknowns() - 1;
    for (std::size_t i = 0; i < fitters_.size(); ++i) {
      const SeatEquations own = fitters_[i].equations(state.pieces[i]);
      const Eigen::Index at = 6 * static_cast<Eigen::Index>(i);
      e.matrix.block<6, 6>(at, at) += shares_[i] * own.matrix.topLeftCorner<6, 6>();
      e.matrix.block<6, 1>(at, gap) += shares_[i] * own.matrix.topRightCorner<6, 1>();
      e.matrix.block<1, 6>(gap, at) += shares_[i] * own.matrix.bottomLeftCorner<1, 6>();
      e.matrix(gap, gap) += shares_[i] * own.matrix(6, 6);
      e.right.segment<6>(at) += shares_[i] * own.right.head<6>();
      e.right(gap) += shares_[i] * own.right(6);
      e.cost += shares_[i] * own.cost;
      e.energies.push_back(own.energy);
    }
    tie(state, e);
    return e;
  }

  void tie(const PiecesState& state, Equations& e) const {
    const std::vector<PieceTerm> now = ties_.terms(state.motions(), whole_);
    Eigen::MatrixXd slopes(static_cast<Eigen::Index>(now.size()), unknowns() - 1);
    for (Eigen::Index k = 0; k < unknowns() - 1; ++k) {
      Eigen::VectorXd step = Eigen::VectorXd::Zero(unknowns());
      step(k) = kTieStep;
      const std::vector<PieceTerm> there = ties_.terms(stepped(state, step).motions(), whole_);
      for (std::size_t i = 0; i < now.size(); ++i) {
        slopes(static_cast<Eigen::Index>(i), k) = (there[i].off_mm - now[i].off_mm) / kTieStep;
      }
    }
    for (std::size_t i = 0; i < now.size(); ++i) {
      const Eigen::VectorXd slope = slopes.row(static_cast<Eigen::Index>(i)).transpose();
      e.cost += now[i].cost;
      e.matrix.topLeftCorner(slope.size(), slope.size()) += now[i].weight * slope * slope.transpose();
      e.right.head(slope.size()) -= now[i].weight * now[i].off_mm * slope;
    }
  }

  Eigen::VectorXd solved(const Equations& e, double lambda) const {
    Eigen::MatrixXd damped = e.matrix;
    for (Eigen::Index i = 0; i < unknowns(); ++i) damped(i, i) += lambda * e.matrix(i, i) + 1e-12;
    Eigen::VectorXd step = Eigen::VectorXd::Zero(unknowns());
    const Eigen::Index count = stage_.share_gap ? unknowns() : unknowns() - 1;
    step.head(count) = damped.topLeftCorner(count, count).ldlt().solve(e.right.head(count));
    return step;
  }

  PiecesState stepped(const PiecesState& state, const Eigen::VectorXd& step) const {
    PiecesState next = state;
    for (std::size_t i = 0; i < fitters_.size(); ++i) {
      SeatStep own;
      own << step.segment<6>(6 * static_cast<Eigen::Index>(i)), step(step.size() - 1);
      next.pieces[i] = fitters_[i].stepped(state.pieces[i], own);
    }
    return next;
  }

  const PieceTies& ties_;
  SeatStage stage_;
  Pose whole_;
  std::vector<SeatFitter> fitters_;
  std::vector<double> shares_;
};

}  // namespace

PieceMotions PiecesState::motions() const {
  PieceMotions out;
  for (const SeatState& piece : pieces) out.push_back(piece.motion.inverse());
  return out;
}

PiecesState fit_pieces(const PiecesProblem& problem, PiecesState from, const SeatStage& stage) {
  return PiecesFitter(problem, stage, from).run(std::move(from));
}

double seated_share(const PiecesProblem& problem, const std::vector<double>& own) {
  double seated = 0, all = 0;
  for (std::size_t i = 0; i < problem.pieces.size(); ++i) {
    const auto count = static_cast<double>(samples_of(problem.pieces[i]));
    seated += own[i] * count;
    all += count;
  }
  return seated / all;
}

}  // namespace intercusp
