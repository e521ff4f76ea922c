#pragma once

#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

namespace intercusp::share {

class JobThread;

/// What practice asks of the desktop program (Host::practice): signatures and the teacher's inbox, done on a thread
/// beside the screen's, as the page does it in web/page/practice.js.
class PracticeKeys {
 public:
  /// `wake` is called from another thread when there is something to take. `server`: the address that new inboxes are
  /// made on, asked on the screen's thread.
  PracticeKeys(std::function<void()> wake, std::function<std::string()> server);
  ~PracticeKeys();
  PracticeKeys(const PracticeKeys&) = delete;
  PracticeKeys& operator=(const PracticeKeys&) = delete;

  void ask(const nlohmann::json& request);
  /// Answers since it was asked last, for App::practice_event.
  std::vector<nlohmann::json> take();

 private:
  const std::function<void()> wake_;
  const std::function<std::string()> server_;
  std::mutex lock_;
  std::vector<nlohmann::json> answers_;
  std::unique_ptr<JobThread> jobs_;  // ends first
};

}  // namespace intercusp::share
