#pragma once

#include <condition_variable>
#include <functional>
#include <memory>
#include <mutex>
#include <thread>

#include "app/errands/errand_bench.h"
#include "app/errands/errand_runner.h"

namespace intercusp {

/// Does errands on a thread of its own.
class ErrandThread : public ErrandRunner {
 public:
  /// `on_news` is called on that thread when an answer is there or more of an errand is done; `shelf` as for a bench.
  explicit ErrandThread(std::function<void()> on_news, std::shared_ptr<SampleShelf> shelf = nullptr);
  /// Waits for the errand under way.
  ~ErrandThread() override;

  void start(Errand errand) override;
  std::optional<ErrandAnswer> take() override;
  void cancel() override;
  double fraction() const override;

 private:
  /// One errand: what it says of itself, and whether anybody still waits for it.
  struct Run;
  void work();

  std::function<void()> on_news_;
  mutable std::mutex mutex_;
  std::condition_variable wake_;
  std::shared_ptr<Run> run_;   ///< the errand that is waited for
  std::shared_ptr<Run> next_;  ///< not begun yet
  bool leaving_ = false;
  ErrandBench bench_;  ///< used on the thread alone
  std::thread thread_;
};

}  // namespace intercusp
