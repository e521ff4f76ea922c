#include "serve/store/store_desk.h"

namespace intercusp::serve {
namespace {

constexpr std::size_t kMostWaitingReads = 20000;
constexpr std::size_t kMostWaitingWrites = 20000;
constexpr std::size_t kMostWaitingBytes = 64u << 20;
constexpr std::size_t kBatchWrites = 128, kBatchBytes = 8u << 20;

/// Refusals that concern one request alone leave the others of its batch as they are.
bool spoils_batch(Refusal refusal) {
  return refusal == Refusal::no_room || refusal == Refusal::damaged || refusal == Refusal::failed;
}

}  // namespace

StoreDesk::StoreDesk(ReviewStore store, boost::asio::io_context& home)
    : store_(std::move(store)), home_(home), reader_([this] { read_loop(); }), writer_([this] { write_loop(); }) {}

StoreDesk::~StoreDesk() {
  {
    const std::lock_guard<std::mutex> held(mutex_);
    ending_ = true;
  }
  something_to_read_.notify_all();
  something_to_write_.notify_all();
  reader_.join();
  writer_.join();
}

bool StoreDesk::enqueue(Reading reading) {
  {
    const std::lock_guard<std::mutex> held(mutex_);
    if (readings_.size() >= kMostWaitingReads) return false;
    readings_.push_back(std::move(reading));
  }
  something_to_read_.notify_one();
  return true;
}

bool StoreDesk::enqueue(Writing writing, bool always) {
  {
    const std::lock_guard<std::mutex> held(mutex_);
    const bool full = writings_.size() >= kMostWaitingWrites || waiting_bytes_ + writing.bytes > kMostWaitingBytes;
    if (full && !always) return false;
    waiting_bytes_ += writing.bytes;
    writings_.push_back(std::move(writing));
  }
  something_to_write_.notify_one();
  return true;
}

void StoreDesk::give(std::vector<Answer> answers) {
  boost::asio::post(home_, [answers = std::move(answers)] {
    for (const Answer& answer : answers) answer();
  });
}

void StoreDesk::read_loop() {
  for (;;) {
    Reading reading;
    {
      std::unique_lock<std::mutex> held(mutex_);
      something_to_read_.wait(held, [this] { return ending_ || !readings_.empty(); });
      if (readings_.empty()) return;
      reading = std::move(readings_.front());
      readings_.pop_front();
    }
    std::vector<Answer> answers;
    answers.push_back(reading.work(*store_.reading));
    reading = {};
    give(std::move(answers));
  }
}

std::vector<StoreDesk::Writing> StoreDesk::next_batch() {
  std::vector<Writing> batch;
  std::size_t bytes = 0;
  std::unique_lock<std::mutex> held(mutex_);
  something_to_write_.wait(held, [this] { return ending_ || !writings_.empty(); });
  while (!writings_.empty() && batch.size() < kBatchWrites && bytes < kBatchBytes) {
    if (writings_.front().is_scrub && !batch.empty()) break;
    bytes += writings_.front().bytes;
    batch.push_back(std::move(writings_.front()));
    writings_.pop_front();
    if (batch.back().is_scrub) break;
  }
  waiting_bytes_ -= bytes;
  return batch;
}

void StoreDesk::write_loop() {
  for (;;) {
    std::vector<Writing> batch = next_batch();
    if (batch.empty()) return;
    std::vector<Answer> answers = done_batch(batch);
    batch.clear();
    give(std::move(answers));
  }
}

/// The first refusal that spoils it, after everything is rolled back; or none, and all of it is on disk.
Stored<Done> StoreDesk::try_batch(Writing* first, std::size_t count) {
  StoreWriting& store = *store_.writing;
  const Stored<Done> begun = store.begin();
  if (!begun.ok()) return begun;
  for (Writing* writing = first; writing != first + count; ++writing) {
    const Refusal refusal = writing->work(store);
    if (spoils_batch(refusal)) {
      store.roll_back();
      return Stored<Done>::refused(refusal);
    }
  }
  Stored<Done> committed = store.commit();
  if (!committed.ok()) store.roll_back();
  return committed;
}

std::vector<StoreDesk::Answer> StoreDesk::done_batch(std::vector<Writing>& batch) {
  std::vector<Answer> answers;
  if (batch.front().is_scrub) {
    const Stored<Done> scrubbed = store_.writing->scrub();
    answers.push_back(batch.front().then(scrubbed.refusal, scrubbed.words));
    return answers;
  }
  const Stored<Done> together = try_batch(batch.data(), batch.size());
  for (Writing& writing : batch) {
    const Stored<Done> alone = together.ok() || batch.size() == 1 ? together : try_batch(&writing, 1);
    answers.push_back(writing.then(alone.refusal, alone.words));
  }
  return answers;
}

}  // namespace intercusp::serve
