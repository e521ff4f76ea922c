#pragma once

#include "app/errands/errand.h"

namespace intercusp {

/// Where errands are done: a thread natively, a worker on the web. One at a time.
class ErrandRunner {
 public:
  virtual ~ErrandRunner() = default;
  /// Begins; the runner does nothing at this moment.
  virtual void start(Errand errand) = 0;
  /// The answer of the errand begun, once.
  virtual std::optional<ErrandAnswer> take() = 0;
  /// Lets go of the errand begun: its answer never comes, and another may be started.
  virtual void cancel() = 0;
  /// How much of it is done, 0 to 1.
  virtual double fraction() const = 0;
};

}  // namespace intercusp
