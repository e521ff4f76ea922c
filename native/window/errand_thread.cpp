#include "window/errand_thread.h"

#include <atomic>
#include <utility>

namespace intercusp {

struct ErrandThread::Run {
  Run(Errand what, const std::function<void()>& on_news)
      : errand(std::move(what)), progress([this, on_news](double done) {
          fraction = done;
          on_news();
        }) {}
  Errand errand;
  std::optional<ErrandAnswer> answer;  ///< guarded by the mutex
  std::atomic<double> fraction{0};
  Progress progress;
};

ErrandThread::ErrandThread(std::function<void()> on_news, std::shared_ptr<SampleShelf> shelf)
    : on_news_(std::move(on_news)), bench_(std::move(shelf)), thread_([this] { work(); }) {}

ErrandThread::~ErrandThread() {
  {
    const std::lock_guard lock(mutex_);
    leaving_ = true;
    next_.reset();
    if (run_) run_->progress.cancel();
  }
  wake_.notify_one();
  thread_.join();
}

void ErrandThread::work() {
  for (;;) {
    std::shared_ptr<Run> run;
    {
      std::unique_lock lock(mutex_);
      wake_.wait(lock, [this] { return leaving_ || next_; });
      if (leaving_) return;
      run = std::exchange(next_, nullptr);
    }
    ErrandAnswer answer = bench_.run(run->errand, run->progress);
    {
      const std::lock_guard lock(mutex_);
      run->answer = std::move(answer);
    }
    on_news_();
  }
}

void ErrandThread::start(Errand errand) {
  {
    const std::lock_guard lock(mutex_);
    run_ = next_ = std::make_shared<Run>(std::move(errand), on_news_);
  }
  wake_.notify_one();
}

std::optional<ErrandAnswer> ErrandThread::take() {
  const std::lock_guard lock(mutex_);
  if (!run_ || !run_->answer) return std::nullopt;
  auto answer = std::move(run_->answer);
  run_.reset();
  return answer;
}

// An errand that does not look whether it is cancelled goes on for nobody, and the next waits until it ends.
void ErrandThread::cancel() {
  const std::lock_guard lock(mutex_);
  if (run_) run_->progress.cancel();
  run_.reset();
  next_.reset();
}

double ErrandThread::fraction() const {
  const std::lock_guard lock(mutex_);
  return run_ ? run_->fraction.load() : 0;
}

}  // namespace intercusp
