#pragma once

#include <chrono>
#include <condition_variable>
#include <functional>
#include <map>
#include <mutex>
#include <thread>

namespace intercusp::share {

/// A thread that does one job after the other, some of them later.
class JobThread {
 public:
  using Job = std::function<void()>;
  using Clock = std::chrono::steady_clock;

  JobThread();
  /// Jobs whose time has come are done; what is for later is dropped.
  ~JobThread();

  /// Jobs of one moment are done in the order in which they were added.
  void add(Job job) { add_after({}, std::move(job)); }
  void add_after(std::chrono::milliseconds pause, Job job);

 private:
  void run();

  std::mutex lock_;
  std::condition_variable changed_;
  std::multimap<Clock::time_point, Job> waiting_;
  bool ends_ = false;
  std::thread thread_;
};

}  // namespace intercusp::share
