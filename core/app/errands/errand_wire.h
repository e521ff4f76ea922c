#pragma once

#include <cstdint>
#include <map>

#include "app/errands/errand.h"

namespace intercusp {

/// The surfaces that two instances of the program both have, under numbers, so that none travels twice. One on each
/// side; a number belongs to the side that first sent the surface.
class SurfaceLedger {
 public:
  /// `first_number`, `step`: the numbers that this side gives, 1, 3, 5 ... on one, 2, 4, 6 ... on the other.
  explicit SurfaceLedger(std::uint64_t first_number) : next_(first_number) {}

  /// The number of a surface and whether the other side has it; from now on it has.
  std::pair<std::uint64_t, bool> number_for(const SurfacePtr& surface);
  void learn(std::uint64_t number, const SurfacePtr& surface) { known_[number] = surface; }
  SurfacePtr find(std::uint64_t number) const;
  /// Numbers of surfaces that nobody else on this side holds: forgotten here, to be forgotten there. Only the side that
  /// sends errands asks for it: the other keeps what it may be asked about.
  std::vector<std::uint64_t> forget_unused();
  void forget(const std::vector<std::uint64_t>& numbers);

 private:
  std::uint64_t next_;
  std::map<std::uint64_t, SurfacePtr> known_;
};

/// An errand as bytes for the other side, and back. What the host holds of a file travels beside it.
std::vector<std::uint8_t> pack_errand(Errand& errand, SurfaceLedger& ledger);
std::optional<Errand> unpack_errand(const std::uint8_t* bytes, std::size_t size, SurfaceLedger& ledger);

std::vector<std::uint8_t> pack_answer(ErrandAnswer& answer, SurfaceLedger& ledger);
/// Nothing where the bytes are not whole.
std::optional<ErrandAnswer> unpack_answer(const std::uint8_t* bytes, std::size_t size, SurfaceLedger& ledger);

}  // namespace intercusp
