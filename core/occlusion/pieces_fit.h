// Settles the pieces of an upper arch on the lower one together.
#pragma once

#include "occlusion/pieced_arch.h"
#include "occlusion/seat_fit.h"

namespace intercusp {

/// One state a piece: the motion of the lower arch against the piece where it stands. They share one gap.
struct PiecesState {
  std::vector<SeatState> pieces;
  double cost = 0;  ///< of the samples, weighed by their number, and of the ties

  PieceMotions motions() const;
};

/// The problems of the pieces, each against the part of the lower arch below it, and what ties them. Refers to the
/// ties.
struct PiecesProblem {
  std::vector<SeatProblem> pieces;
  const PieceTies* ties = nullptr;
};

/// Levenberg-Marquardt over all pieces and the shared gap at once. The whole that holds the pieces is taken once, at
/// the start. Never raises the cost of the stage. O(steps x samples x log n), and the ties six times a piece.
PiecesState fit_pieces(const PiecesProblem& problem, PiecesState from, const SeatStage& stage);

/// The seated share of all samples from that of each problem.
double seated_share(const PiecesProblem& problem, const std::vector<double>& own);

}  // namespace intercusp
