#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "review/review_wire.h"

namespace intercusp::share {

/// What this program keeps of a shared case, as sealed as the server has it: opened once, it opens again without a
/// network, and what waits for the server outlives the program. Files in a folder of their own, each written whole or
/// not at all. What cannot be kept is left out: the server has it.
class SealedCopy {
 public:
  /// `folder`: 22 characters. Nothing is made before there is something to keep.
  explicit SealedCopy(const std::string& folder);

  /// When the shared case ends, ms since 1970. Nothing: no copy is kept, or its days are over; then it is forgotten.
  std::optional<std::int64_t> ends() const;
  void keep_ends(std::int64_t ends_ms) const;

  /// From the first on, up to the first that is missing.
  std::vector<secrets::LogFrame> entries() const;
  void keep_entries(const std::vector<secrets::LogFrame>& frames) const;

  std::optional<std::string> piece(const std::string& name) const;
  void keep_piece(const std::string& name, const std::string& sealed) const;

  /// Own entries that the server has not acknowledged; their numbers mean nothing.
  std::vector<secrets::LogFrame> waiting() const;
  Status keep_waiting(const std::vector<secrets::LogFrame>& frames) const;

  void forget() const;

 private:
  std::filesystem::path root_;
};

}  // namespace intercusp::share
