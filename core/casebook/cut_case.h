// A case as a plan's cuts leave it: bodies replaced by their pieces, each with its segment.
#pragma once

#include <map>
#include <optional>

#include "casebook/case.h"
#include "surgery/cut_clearance.h"

namespace intercusp {

/// Pieces made before, by what they were made from. Keep one beside a case that is worked on: a plan whose cuts did not
/// change costs nothing then. Holds the pieces of the last call only.
class PieceCache {
 public:
  struct Sawn {
    SurfacePtr source;  ///< of a body without a digest: kept alive, so that no other surface can come to its address
    Body positive, negative;
  };
  const Sawn* find(const std::string& key) const;
  void keep(const std::string& key, Sawn sawn) { next_[key] = std::move(sawn); }
  /// Lets go of what was not asked for since the last call.
  void next_round();
  /// What the last call left, by key; `learn` puts such pieces in that were sawn elsewhere.
  const std::map<std::string, Sawn>& pieces() const { return kept_; }
  void learn(const std::string& key, Sawn sawn) { kept_[key] = std::move(sawn); }

 private:
  std::map<std::string, Sawn> kept_, next_;
};

/// The case with every cut of the plan made, in the order of the plan; the case itself without a plan or without cuts.
/// - Le Fort I: `upper_bone` becomes `maxilla` and, of the skull, `upper_bone_above`; arch and teeth go with the
///   maxilla. Another upper bone body NAME becomes `maxilla_NAME` and `NAME_above`.
/// - Split: the lower bone becomes `ramus_right` or `ramus_left` and `mandible`; chin: `chin` and `mandible`.
/// - Pieces: `maxilla` becomes `maxilla_right`, `maxilla_left` and `maxilla_front`, the arch `upper_arch_right` and so
/// on,
///   parted between the teeth without loss.
/// Landmarks go with the piece that they lie on. Meshes stay in scan space at rest.
/// Errors leave nothing behind: a cut that misses the bone, takes off less than 1 % of it, meets a root, or divides the
/// bone in three (a further part of over 2 %); a cut made twice; a split of the upper jaw before its Le Fort I.
/// Costs what the cuts cost, see cut_mesh; O(bodies) where the cache holds the pieces.
Result<Case> with_cuts(const Case& c, const Plan* plan, PieceCache* cache = nullptr);

/// As with_cuts, from pieces that the cache holds; nothing where one is missing that must be sawn first. O(landmarks
/// and bodies) and the vertices of roots.
std::optional<Result<Case>> with_cuts_sawn(const Case& c, const Plan* plan, PieceCache& cache);

/// Whether a plan cuts anything.
bool has_cuts(const Plan* plan);

/// Where a cut of the plan is laid, before or after it is made, in the patient frame at rest. Of a case that with_cuts
/// gives it is where the cut was made. Root tips that nobody marked are read from the roots (with_root_tips).
/// O(landmarks), what the tips cost, and two rays through the bone for a split.
Result<std::vector<PieceCut>> place_sawings(const Case& c, const Osteotomy& cut);

/// The same with its distances.
struct PlacedCut {
  std::vector<PieceCut> sawings;
  std::vector<CutClearance> clearances;
  std::vector<CutLevel> levels;
};
/// As place_sawings, and O(vertices) of the bodies of roots or teeth.
Result<PlacedCut> place_cut(const Case& c, const Osteotomy& cut);

}  // namespace intercusp
