#pragma once

#include <atomic>
#include <functional>

namespace intercusp {

/// Context of long work: reports 0..1 and can be cancelled from any thread. A cancel sticks.
class Progress {
 public:
  explicit Progress(std::function<void(double)> report = {}) : report_(std::move(report)) {}
  void report(double fraction) const {
    if (report_) report_(fraction);
  }
  void cancel() { cancelled_.store(true); }
  bool cancelled() const { return cancelled_.load(); }

 private:
  std::function<void(double)> report_;
  std::atomic<bool> cancelled_{false};
};

}  // namespace intercusp
