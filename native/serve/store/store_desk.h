// Where the network's thread leaves work for the store: two threads do it, answers come back on the network's thread.
#pragma once

#include <condition_variable>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>

#include <boost/asio/executor_work_guard.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/post.hpp>

#include "serve/store/review_store.h"

namespace intercusp::serve {

/// Writes that wait are done together and reach the disk with one flush; each is answered after that flush. A batch
/// that fails is done again one by one, so that one request that does not fit takes no other with it.
class StoreDesk {
 public:
  StoreDesk(ReviewStore store, boost::asio::io_context& home);
  /// Does what waits, then ends.
  ~StoreDesk();
  StoreDesk(const StoreDesk&) = delete;
  StoreDesk& operator=(const StoreDesk&) = delete;

  /// False when too much waits already: `then` is not called. `work` may run more than once; only what its last run
  /// gave is answered.
  template <class T, class Work, class Then>
  bool read(Work work, Then then);
  /// `bytes`: what the work holds while it waits.
  template <class T, class Work, class Then>
  bool write(std::size_t bytes, Work work, Then then);
  /// After what waits: scrubs the store (StoreWriting::scrub).
  template <class Then>
  void scrub(Then then);

 private:
  using Answer = std::function<void()>;
  struct Reading {
    std::function<Answer(StoreReading&)> work;
  };
  struct Writing {
    std::size_t bytes = 0;
    bool is_scrub = false;
    std::function<Refusal(StoreWriting&)> work;                         ///< keeps its own answer
    std::function<Answer(Refusal of_commit, const std::string&)> then;  ///< called once, after the commit
  };

  bool enqueue(Reading reading);
  bool enqueue(Writing writing, bool always);
  void read_loop();
  void write_loop();
  std::vector<Writing> next_batch();
  std::vector<Answer> done_batch(std::vector<Writing>& batch);
  Stored<Done> try_batch(Writing* first, std::size_t count);
  void give(std::vector<Answer> answers);

  ReviewStore store_;
  boost::asio::io_context& home_;
  std::mutex mutex_;
  std::condition_variable something_to_read_, something_to_write_;
  std::deque<Reading> readings_;
  std::deque<Writing> writings_;
  std::size_t waiting_bytes_ = 0;
  bool ending_ = false;
  std::thread reader_, writer_;
};

// What comes after belongs to the network's thread and must end there too: it holds the last of a connection, perhaps.
// It is kept on the heap, and the desk lets go of its own share before it hands the answer over.
template <class T, class Work, class Then>
bool StoreDesk::read(Work work, Then then) {
  const auto kept = std::make_shared<Then>(std::move(then));
  return enqueue(Reading{[work = std::move(work), kept](StoreReading& store) -> Answer {
    const auto stored = std::make_shared<Stored<T>>(work(store));
    return [stored, kept] { (*kept)(std::move(*stored)); };
  }});
}

template <class T, class Work, class Then>
bool StoreDesk::write(std::size_t bytes, Work work, Then then) {
  const auto kept = std::make_shared<Then>(std::move(then));
  const auto stored = std::make_shared<Stored<T>>();
  Writing writing;
  writing.bytes = bytes;
  writing.work = [stored, work = std::move(work)](StoreWriting& store) {
    *stored = work(store);
    return stored->refusal;
  };
  writing.then = [stored, kept](Refusal of_commit, const std::string& words) -> Answer {
    if (stored->ok() && of_commit != Refusal::none) *stored = Stored<T>::refused(of_commit, words);
    return [stored, kept] { (*kept)(std::move(*stored)); };
  };
  return enqueue(std::move(writing), false);
}

template <class Then>
void StoreDesk::scrub(Then then) {
  const auto kept = std::make_shared<Then>(std::move(then));
  Writing writing;
  writing.is_scrub = true;
  writing.then = [kept](Refusal refusal, const std::string& words) -> Answer {
    return [refusal, words, kept] { (*kept)(Stored<Done>{refusal, Done{}, words}); };
  };
  enqueue(std::move(writing), true);
}

}  // namespace intercusp::serve
