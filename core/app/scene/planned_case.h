#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "app/errands/errand_desk.h"
#include "casebook/cut_case.h"
#include "casebook/document.h"

namespace intercusp {

/// The case as the cuts of a plan leave it. Pieces are sawn beside the screen; until they are there, and where the cuts
/// cannot be made, the bone stands whole.
class PlannedCase {
 public:
  using KeepNotes = std::function<void(const SurfacePtr&, SurfaceNotes)>;
  /// Brings the pieces up to date with the document; cheap when neither it nor the plan changed. Nothing is asked for
  /// while a hand drags: the cut is still on its way.
  void refresh(ErrandDesk& desk, const Document& document, const Plan* plan, bool dragging, const KeepNotes& keep);

  /// The case in pieces; null where the plan cuts nothing and where the pieces are not there.
  const Case* in_pieces() const { return cut_ ? &*cut_ : nullptr; }
  /// The plan cuts the bone, and what comes of it is not known yet.
  bool waiting() const { return waiting_; }
  /// The sawing was stopped by hand.
  bool stopped() const { return stopped_; }
  /// Asks again after it was stopped.
  void saw_again() {
    stopped_ = false;
    asked_.reset();
  }
  /// Why the cuts cannot be made; empty when they can.
  const std::string& trouble() const { return trouble_; }
  /// Grows whenever the pieces changed.
  std::uint64_t version() const { return version_; }
  void forget();

 private:
  /// What the pieces depend on.
  struct Basis {
    std::vector<SurfacePtr> surfaces;
    std::vector<std::pair<std::string, Vec3>> points;
    std::vector<std::pair<CutKind, std::map<std::string, double>>> cuts;
    Eigen::Matrix4d frame = Eigen::Matrix4d::Identity();
    bool operator!=(const Basis& o) const { return !(*this == o); }
    bool operator==(const Basis& o) const {
      return surfaces == o.surfaces && points == o.points && cuts == o.cuts && frame == o.frame;
    }
  };
  static Basis basis_of(const Case& c, const Plan& plan);
  void assemble(const Case& c, const Plan& plan);
  void ask(ErrandDesk& desk, const Case& c, const Plan& plan, const KeepNotes& keep);
  void settle(std::optional<Case> cut, std::string trouble);
  void forget_cuts();

  struct Seen {
    std::uint64_t revision = ~0ull;
    std::string plan;
    bool operator==(const Seen& o) const { return revision == o.revision && plan == o.plan; }
  } seen_;
  PieceCache cache_;
  std::optional<Basis> basis_;  ///< of what is known or waited for
  std::optional<Basis> asked_;  ///< what was last asked for
  std::optional<Case> cut_;
  std::string trouble_;
  bool waiting_ = false, stopped_ = false;
  std::uint64_t version_ = 0, age_ = 0;
};

}  // namespace intercusp
