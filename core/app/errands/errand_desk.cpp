#include "app/errands/errand_desk.h"

#include <algorithm>

namespace intercusp {

Status ErrandDesk::go(Errand errand, std::string words, Then then) {
  if (!runner_ || at_once_) {
    ErrandAnswer answer = bench_.run(errand, Progress());
    return then(answer);
  }
  waiting_.push_back({std::move(errand), std::move(words), std::move(then)});
  if (!current_) start_next();
  return Done{};
}

void ErrandDesk::start_next() {
  if (waiting_.empty()) return;
  current_ = std::move(waiting_.front());
  waiting_.pop_front();
  runner_->start(std::move(current_->errand));
}

std::vector<Error> ErrandDesk::poll() {
  std::vector<Error> troubles;
  while (current_) {
    auto answer = runner_->take();
    if (!answer) break;
    const Then then = std::move(current_->then);
    current_.reset();
    start_next();  // before the answer is used: the other thread shall not wait for this one
    const Status used = then(*answer);
    if (!used) troubles.push_back(used.error());
  }
  return troubles;
}

const std::string& ErrandDesk::words() const {
  static const std::string none;
  if (current_ && !current_->words.empty()) return current_->words;
  const auto named = std::find_if(waiting_.begin(), waiting_.end(), [](const Order& o) { return !o.words.empty(); });
  return named == waiting_.end() ? none : named->words;
}

bool ErrandDesk::awaits(const std::string& words) const {
  const auto asked = [&](const Order& o) { return o.words == words; };
  return (current_ && asked(*current_)) || std::any_of(waiting_.begin(), waiting_.end(), asked);
}

void ErrandDesk::cancel() {
  const auto named = [](const Order& o) { return !o.words.empty(); };
  waiting_.erase(std::remove_if(waiting_.begin(), waiting_.end(), named), waiting_.end());
  if (!current_ || !named(*current_)) return;
  runner_->cancel();
  current_.reset();
  start_next();
}

}  // namespace intercusp
