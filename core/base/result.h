// The three roads for errors: bad data is a Result holding an Error with a human sentence; expected absence is a plain
// return value (std::optional); a programmer's fault is an assertion.
#pragma once

#include <cassert>
#include <optional>
#include <string>
#include <utility>
#include <variant>

namespace intercusp {

/// What went wrong, where, and what to do about it, each a phrase for a person. `where` and `remedy` may be empty.
struct Error {
  std::string what;    ///< "the file ends in the middle of triangle 1,204"
  std::string where;   ///< "upper.stl, byte 60284"
  std::string remedy;  ///< "export the scan again"

  /// One readable line: "WHERE: WHAT. REMEDY".
  std::string sentence() const;
};

/// Either a value or an Error. No exception crosses the public interface of the core.
template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value) : state_(std::in_place_index<0>, std::move(value)) {}
  Result(Error error) : state_(std::in_place_index<1>, std::move(error)) {}

  bool ok() const { return state_.index() == 0; }
  explicit operator bool() const { return ok(); }

  const T& value() const& {
    assert(ok());
    return *std::get_if<0>(&state_);
  }
  T& value() & {
    assert(ok());
    return *std::get_if<0>(&state_);
  }
  T&& value() && {
    assert(ok());
    return std::move(*std::get_if<0>(&state_));
  }
  const Error& error() const {
    assert(!ok());
    return *std::get_if<1>(&state_);
  }

 private:
  std::variant<T, Error> state_;
};

/// The result of an operation that only succeeds or fails.
struct Done {};
using Status = Result<Done>;

}  // namespace intercusp
