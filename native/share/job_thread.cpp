#include "share/job_thread.h"

namespace intercusp::share {

JobThread::JobThread() : thread_([this] { run(); }) {}

JobThread::~JobThread() {
  {
    const std::lock_guard hold(lock_);
    ends_ = true;
  }
  changed_.notify_all();
  thread_.join();
}

void JobThread::add_after(std::chrono::milliseconds pause, Job job) {
  {
    const std::lock_guard hold(lock_);
    waiting_.emplace(Clock::now() + pause, std::move(job));
  }
  changed_.notify_all();
}

void JobThread::run() {
  std::unique_lock hold(lock_);
  while (true) {
    if (waiting_.empty()) {
      if (ends_) return;
      changed_.wait(hold);
      continue;
    }
    const auto due = waiting_.begin()->first;
    if (due > Clock::now()) {
      if (ends_) return;
      changed_.wait_until(hold, due);
      continue;
    }
    const Job job = std::move(waiting_.begin()->second);
    waiting_.erase(waiting_.begin());
    hold.unlock();
    job();
    hold.lock();
  }
}

}  // namespace intercusp::share
