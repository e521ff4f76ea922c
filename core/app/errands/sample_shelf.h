#pragma once

#include <cstddef>
#include <functional>
#include <list>
#include <mutex>
#include <optional>
#include <utility>

#include "app/errands/errand.h"

namespace intercusp {

/// Samples that were made before, the newest few, so that one opened again is there at once. Their surfaces are shared
/// with the cases that were opened, not copied: a sample that is kept and open takes its memory once. May be used from
/// several threads.
class SampleShelf {
 public:
  explicit SampleShelf(std::size_t most) : most_(most) {}

  /// The sample as it was made before, or as `make` makes it. What `make` refuses is not kept. Two threads that ask for
  /// a sample that is not there both make it.
  ErrandAnswer take(const MakeSample& sample, const std::function<ErrandAnswer()>& make);

 private:
  std::optional<CaseOpened> find(const MakeSample& sample);
  void put(const MakeSample& sample, const CaseOpened& made);

  const std::size_t most_;
  std::mutex mutex_;
  std::list<std::pair<MakeSample, CaseOpened>> kept_;  ///< the newest first
};

}  // namespace intercusp
