// An upper arch that was sawn in pieces: what its pieces may do, and what they do in a place that was found.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "occlusion/settle.h"

namespace intercusp {

/// A piece of an upper arch.
struct ArchPiece {
  std::string name;               ///< its segment: "maxilla_right"
  PosedSurface arch;              ///< its teeth where they stand; closed, or open where it was cut
  Pose moved = Pose::Identity();  ///< its motion since the arch was in one piece, patient frame
};

/// The whole of it, with the lower arch that stays.
struct PiecedArch {
  MeasureInput input;  ///< landmarks where they stand, and the lower scan; `upper` and `frame` are not read
  std::vector<ArchPiece> pieces;
  std::map<std::string, std::size_t> piece_of;  ///< index of the piece, for each upper landmark
};

/// The joined arch: all pieces as they lay in one, placed where the first piece stands now. Frame taken again.
/// O(n log n) for the surface.
MeasureInput joined_arch(const PiecedArch& arch);

/// A distance that should be zero, what its square counts for in the next step, and what it costs now.
struct PieceTerm {
  double off_mm = 0, weight = 0, cost = 0;
};

/// Motions of pieces are those from where they stand, one a piece, patient frame.
using PieceMotions = std::vector<Pose>;

/// The ties between the pieces, as terms of a fit and in words of a report. Refers to the arch and the settings.
class PieceTies {
 public:
  PieceTies(const PiecedArch& arch, const SettleSettings& settings);

  /// The rigid motion of the arch in one piece that is nearest to where the pieces go. O(landmarks).
  Pose as_whole(const PieceMotions& motions) const;

  /// The rigid motion from where the pieces stand that is nearest to theirs.
  Pose moved_as_whole(const PieceMotions& motions) const;

  /// Everything that ties the pieces: limits of expansion, spaces and steps beyond which it costs; neighbours that
  /// overlap; a weak hold on `whole` (see as_whole), which keeps what few contacts would tip; pinned values.
  std::vector<PieceTerm> terms(const PieceMotions& motions, const Pose& whole) const;

  /// Landmarks and frame once the pieces have moved.
  MeasureInput input_at(const PieceMotions& motions) const;

  /// Spaces, steps and expansions, with their parts of the cost.
  void report(const PieceMotions& motions, SettleSolution& s) const;

 private:
  struct Width {
    std::size_t right, left;  // pieces
    Vec3 at_right, at_left;
    std::array<double, 2> limits;
  };
  struct Cut {
    std::size_t first, second;  // pieces, in the order of the row from 18 to 28
    std::array<int, 2> teeth;
    Vec3 at, along;          // from the first to the second
    std::vector<Vec3> face;  // points of the first piece on the cut, about the contact of the teeth
  };
  struct CutState {
    Vec3 across;                  // the step
    double space;                 // at the contact
    std::vector<double> overlap;  // of each point of the face, negative where it is apart
  };

  Pose nearest_motion(const PieceMotions& motions, bool from_joined) const;
  double turned(const PieceMotions& motions, std::size_t piece, const Pose& whole) const;
  Vec3 gone(const PieceMotions& motions, std::size_t piece, const Vec3& joined) const;
  double widened(const PieceMotions& motions, const Width& width) const;
  CutState state_of(const PieceMotions& motions, const Cut& cut) const;
  void find_widths();
  void find_cuts();
  std::vector<Vec3> face_of(const Cut& cut) const;
  void tie_limits(const PieceMotions& motions, std::vector<PieceTerm>& out) const;
  void hold(const PieceMotions& motions, const Pose& whole, std::vector<PieceTerm>& out) const;
  void pin(const PieceMotions& motions, std::vector<PieceTerm>& out) const;

  const PiecedArch& arch_;
  const SettleSettings& settings_;
  PointMap joined_;  // upper landmarks of the arch in one piece
  std::optional<Width> canines_, molars_;
  std::vector<Cut> cuts_;
  std::vector<std::vector<Vec3>> anchors_;  // of each piece, joined
};

}  // namespace intercusp
