#include "serve/retention.h"

#include "serve/review_api.h"

namespace intercusp::serve {
namespace {

constexpr auto kBetweenSweeps = std::chrono::seconds(30);

}  // namespace

Retention::Retention(boost::asio::io_context& context, StoreDesk& desk, Fanout& fanout, std::chrono::seconds grace)
    : desk_(desk), fanout_(fanout), grace_(grace), timer_(context) {}

void Retention::sweep() {
  const std::int64_t now = wall_clock_ms();
  const auto found = [this](const Stored<std::vector<FolderName>>& ended) {
    if (!ended.ok()) {
      report_store_trouble(ended.refusal, ended.words);
      return again();
    }
    on_ended(ended.value);
  };
  using Names = std::vector<FolderName>;
  if (!desk_.write<Names>(
          0, [now](StoreWriting& store) { return store.ended(now); }, found))
    again();
}

void Retention::on_ended(const std::vector<FolderName>& ended) {
  const SteadyTime now = std::chrono::steady_clock::now();
  std::map<FolderName, SteadyTime> still;
  for (const FolderName& folder : ended) {
    const auto seen = seen_ended_.find(folder);
    const SteadyTime since = seen == seen_ended_.end() ? now : seen->second;
    if (now - since >= grace_) {
      close(folder);
    } else {
      still.emplace(folder, since);
    }
  }
  seen_ended_ = std::move(still);
  erase_closed();
}

void Retention::close(const FolderName& folder) {
  const std::int64_t now = wall_clock_ms();
  const auto work = [folder, now](StoreWriting& store) { return store.close_ended(folder, now); };
  desk_.write<bool>(0, work, [this, folder](const Stored<bool>& closed) {
    if (closed.ok() && closed.value) fanout_.end(folder, Fanout::Who::everybody);
  });
}

/// Also what a deletion left undone when the server was stopped in the middle of it.
void Retention::erase_closed() {
  const auto erased = [this](const Stored<bool>& all) {
    if (!all.ok()) {
      report_store_trouble(all.refusal, all.words);
      return again();
    }
    if (!all.value) {
      erased_ = true;
      return erase_closed();
    }
    if (!erased_) return again();
    desk_.scrub([this](const Stored<Done>& done) {
      if (!done.ok()) report_store_trouble(done.refusal, done.words);
      erased_ = !done.ok();
      again();
    });
  };
  if (!desk_.write<bool>(
          0, [](StoreWriting& store) { return store.erase_some(nullptr); }, erased))
    again();
}

void Retention::again() {
  timer_.expires_after(
      std::min<std::chrono::steady_clock::duration>(kBetweenSweeps, std::max(grace_, std::chrono::seconds(1))));
  timer_.async_wait([this](const boost::system::error_code& failed) {
    if (!failed) sweep();
  });
}

}  // namespace intercusp::serve
