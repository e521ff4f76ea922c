#pragma once

#include <doctest/doctest.h>

#include "app/errands/errand_bench.h"
#include "app/errands/errand_wire.h"

namespace intercusp {

/// Both sides of the page in one: errands go over as bytes, answers come back as bytes.
struct Across {
  SurfaceLedger here{1}, there{2};
  ErrandBench bench;
  std::size_t sent = 0;  ///< bytes of the last errand
  ErrandAnswer far;      ///< the last answer as it was on the other side

  template <class Answer>
  Answer ask(Errand errand) {
    const auto bytes = pack_errand(errand, here);
    sent = bytes.size();
    auto unpacked = unpack_errand(bytes.data(), bytes.size(), there);
    REQUIRE(unpacked.has_value());
    far = bench.run(*unpacked, Progress());
    const auto back = pack_answer(far, there);
    auto arrived = unpack_answer(back.data(), back.size(), here);
    REQUIRE(arrived.has_value());
    REQUIRE(std::holds_alternative<Answer>(*arrived));
    return std::get<Answer>(std::move(*arrived));
  }
};

}  // namespace intercusp
