#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "base/result.h"

namespace intercusp::share {

class OpenReview;
class JobThread;

/// Shared cases of the desktop program: what it asks (Host::review) is done with keys, server and room on threads
/// beside the screen's, as the page does it in web/page/review.js.
class LiveReview {
 public:
  struct Event {
    nlohmann::json event;  ///< for App::review_event
    std::vector<std::uint8_t> bytes;
  };

  /// `wake` is called from another thread when there is something to take. `server`: the address ("http://host/") of
  /// the server that new cases go to.
  LiveReview(std::function<void()> wake, std::function<std::string()> server);
  /// What was asked is done first; what the server has not got by then is kept for the next time.
  ~LiveReview();
  LiveReview(const LiveReview&) = delete;
  LiveReview& operator=(const LiveReview&) = delete;

  void ask(const nlohmann::json& request, const std::vector<std::uint8_t>& bytes);
  /// What has been told since it was asked last, in its order.
  std::vector<Event> take();

  struct Doing;

 private:
  Status go(const std::string& what, const Doing& doing);
  void tell(Event event);

  const std::function<void()> wake_;
  const std::function<std::string()> server_;
  std::mutex lock_;
  std::vector<Event> events_;
  std::atomic<std::uint64_t> turn_{0};  // grows with every case begun or left: what belongs to an earlier one stops
  std::unique_ptr<OpenReview> open_;    // used by the jobs alone
  std::unique_ptr<JobThread> jobs_;     // ends first
};

}  // namespace intercusp::share
