#pragma once

#include <cstdint>
#include <optional>
#include <utility>
#include <variant>

#include "app/errands/errand_desk.h"

namespace intercusp {

/// What an errand finds for what is shown: asked for when it is looked at and rests, one question at a time. `Part` is
/// the member of the errand's `Answer` that is kept; `Key` names what it was found for.
template <class Answer, auto Part, class Key = std::uint64_t>
class AnswerWatch {
 public:
  using Found = std::decay_t<decltype(std::declval<Answer>().*Part)>;

  /// `make` gives the errand, or nothing where there is nothing to find.
  template <class Make>
  void refresh(ErrandDesk& desk, const Key& key, Make make) {
    if (asked_ || (of(key) && !nearly_)) return;
    auto errand = make();
    if (!errand) {
      found_ = Found();
      key_ = key;
      nearly_ = false;
      return;
    }
    asked_ = true;
    const auto use = [this, key, age = age_](ErrandAnswer& answer) -> Status {
      if (age != age_) return Done{};
      asked_ = false;
      auto* found = std::get_if<Answer>(&answer);
      found_ = found ? std::move(found->*Part) : Found();
      key_ = key;
      nearly_ = false;
      return Done{};
    };
    (void)desk.go(std::move(*errand), "", use).ok();
  }

  /// What is nearly the answer: shown until the next refresh asks.
  void take_nearly(Found found, const Key& key) {
    found_ = std::move(found);
    key_ = key;
    nearly_ = true;
  }

  const Found& found() const { return found_; }
  /// What is there belongs to this.
  bool of(const Key& key) const { return key_ && *key_ == key; }
  /// What is under way is not taken any more.
  void forget() {
    const std::uint64_t age = age_ + 1;
    *this = AnswerWatch();
    age_ = age;
  }

 private:
  Found found_{};
  std::optional<Key> key_;
  std::uint64_t age_ = 0;
  bool asked_ = false, nearly_ = false;
};

}  // namespace intercusp
