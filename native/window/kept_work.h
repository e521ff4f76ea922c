#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"

namespace intercusp {

struct KeptWork {
  std::vector<std::uint8_t> case_bytes;
  std::string view_json;
};

/// The work in progress, kept in a folder of this person's state, one file a case, each written whole or not at all.
class WorkKeeper {
 public:
  explicit WorkKeeper(std::string folder) : folder_(std::move(folder)) {}

  /// Empty bytes forget the case.
  Status keep(const std::string& case_id, const std::vector<std::uint8_t>& case_bytes,
              const std::string& view_json) const;
  /// What was kept last; nothing when there is nothing readable.
  std::optional<KeptWork> latest() const;

 private:
  std::string folder_;
};

/// Small settings in one JSON file; a damaged file counts as empty.
class Settings {
 public:
  explicit Settings(std::string folder);
  std::string get(const std::string& key) const;
  Status set(const std::string& key, const std::string& value);

 private:
  std::string folder_;
  std::vector<std::pair<std::string, std::string>> values_;
};

}  // namespace intercusp
