#pragma once

#include <deque>
#include <functional>
#include <memory>

#include "app/errands/errand_bench.h"
#include "app/errands/errand_runner.h"

namespace intercusp {

/// Gives errands to whoever does them, in order, and their answers to those who asked.
class ErrandDesk {
 public:
  /// What is done with an answer; an Error is for the person.
  using Then = std::function<Status(ErrandAnswer&)>;

  /// Without a runner errands are done at once, on the caller's thread.
  void set_runner(ErrandRunner* runner) { runner_ = runner; }
  /// Where samples that were made before are kept, for those made at once.
  void set_shelf(std::shared_ptr<SampleShelf> shelf) { bench_ = ErrandBench(std::move(shelf)); }
  bool has_runner() const { return runner_ != nullptr; }

  /// While one of these lives, errands are done at once even where there is a runner: for scripts, which ask a question
  /// and go on with the answer.
  struct AtOnce {
    explicit AtOnce(ErrandDesk& desk) : desk_(desk), before_(desk.at_once_) { desk_.at_once_ = true; }
    ~AtOnce() { desk_.at_once_ = before_; }
    AtOnce(const AtOnce&) = delete;
    AtOnce& operator=(const AtOnce&) = delete;

   private:
    ErrandDesk& desk_;
    bool before_;
  };

  /// Has the errand done and `then` called with its answer: now, giving its outcome, or in a later poll(), giving Done.
  /// `words` say to a person what is being done ("Reading upper.stl"); work that nobody waits for has none.
  Status go(Errand errand, std::string words, Then then);

  /// Hands over what was answered since the last call; troubles of answers that came later.
  std::vector<Error> poll();
  /// Something is under way or waits.
  bool busy() const { return current_.has_value() || !waiting_.empty(); }
  /// What a person waits for; empty when nothing is.
  const std::string& words() const;
  double fraction() const { return runner_ && current_ ? runner_->fraction() : 0; }
  /// Ends what a person waits for, and what waits behind it; nothing of it has happened.
  void cancel();
  /// Whether something was asked for with these words and is not answered yet.
  bool awaits(const std::string& words) const;

 private:
  struct Order {
    Errand errand;
    std::string words;
    Then then;
  };
  void start_next();

  ErrandRunner* runner_ = nullptr;
  ErrandBench bench_;  ///< for what is done at once
  bool at_once_ = false;
  std::optional<Order> current_;  ///< its errand has gone to the runner
  std::deque<Order> waiting_;
};

}  // namespace intercusp
