// Graded sets of practice: their questions are given out, and how they are made is told to the teacher alone. Nothing
// of a set is kept here: a student's ticket brings it along, sealed with a key that only this server has.
#pragma once

#include <condition_variable>
#include <cstdint>
#include <deque>
#include <functional>
#include <list>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include <boost/asio/io_context.hpp>

#include "base/result.h"
#include "practice/kinds.h"

namespace intercusp::serve {

/// The server's key for graded sets, 32 bytes, in the store's folder as `graded.key`; made where there is none. Without
/// it the tickets given out before open no more.
Result<std::string> graded_key(const std::string& store_folder);

/// Questions are made on a thread of their own, one after another, and kept for the others of a class. All calls come
/// from the network's thread.
class GradedSets {
 public:
  GradedSets(std::string key, boost::asio::io_context& home);
  /// Does not wait for what is not begun yet.
  ~GradedSets();
  GradedSets(const GradedSets&) = delete;
  GradedSets& operator=(const GradedSets&) = delete;

  struct Made {
    std::string set;     ///< code for the teacher, with a fresh secret
    std::string ticket;  ///< code for the students
  };
  /// A graded set of the kinds, count and so on of `set_code`, whose questions are given out until `ends_ms`.
  Result<Made> make(const std::string& set_code, std::int64_t ends_ms) const;

  struct Wanted {
    QuestionSpec spec;
    int number = 0;   ///< in its set, from 0
    std::string set;  ///< its name
  };
  /// What a ticket asks for; nothing where it is none of this server's, is over, or has no such question.
  std::optional<Wanted> find(const std::string& sealed, int number, std::int64_t now_ms) const;

  using Bytes = std::shared_ptr<const std::string>;
  using Then = std::function<void(const Result<Bytes>&)>;
  /// See write_shown_question. False when too much waits already: `then` is not called.
  bool give(const Wanted& wanted, Then then);

 private:
  void work_loop();
  void take_made(const std::string& name, const Result<Bytes>& made);
  void keep(const std::string& name, const Bytes& bytes);

  struct Job {
    std::string name;
    Wanted wanted;
  };

  const std::string key_;
  boost::asio::io_context& home_;
  std::map<std::string, std::vector<Then>> waiting_;  // by name of the question
  std::list<std::pair<std::string, Bytes>> kept_;     // the last one asked for first
  std::size_t kept_bytes_ = 0;

  std::mutex mutex_;
  std::condition_variable something_to_do_;
  std::deque<Job> jobs_;
  bool ending_ = false;
  std::thread worker_;  // last: it uses the others
};

}  // namespace intercusp::serve
