// The history of one thing that several people may change: a plan, a landmark, the frame, the case id.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "review/entry.h"

namespace intercusp {

/// One state of a thing, made by one entry.
struct ThingVersion {
  std::string id;  ///< of the entry
  std::string on;  ///< id of the version that it was made on; empty = as the case was shared
  std::string author, name, role;
  std::int64_t time_ms = 0;
  std::uint64_t clock = 0;
  nlohmann::json value;  ///< null: taken away
  std::size_t line = 0;  ///< index in SharedThing::lines
};

/// A run of versions each made on the one before it. A thing has one until two people change the same version; the
/// later of the two then begins a line of its own: a visible alternative.
struct ThingLine {
  std::string shown_as;       ///< the thing's name, or that with a number
  std::string tip;            ///< id of its last version; empty = as the case was shared
  nlohmann::json value;       ///< of the tip
  std::size_t tip_index = 0;  ///< in SharedThing::versions; meaningless while `tip` is empty
};

struct SharedThing {
  std::string kind, name;
  nlohmann::json first;                ///< as the case was shared; null = it was not there
  std::vector<ThingLine> lines;        ///< the first always exists
  std::vector<ThingVersion> versions;  ///< in the order in which everybody merges

  static SharedThing begun(std::string kind, std::string name, nlohmann::json first);
  /// Adds the version that an entry made. O(lines).
  void add(const ReviewEntry& entry, const std::string& on, nlohmann::json value);
  const ThingVersion* find(const std::string& id) const;
  /// The value of a version; that of the beginning for an empty id.
  const nlohmann::json& value_of(const std::string& id) const;
  /// Whether a later change to the first line, by somebody who could know of it, has left an alternative behind.
  bool settled(const ThingLine& line) const;
};

}  // namespace intercusp
