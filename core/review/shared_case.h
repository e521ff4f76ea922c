// A case that several people change at once: every entry that anybody made, in any order of arrival, folded into one
// case. Whoever holds the same entries holds the same case, byte for byte.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "casebook/case.h"
#include "review/entry.h"
#include "review/fold.h"

namespace intercusp {

/// Who writes an entry, and when.
struct EntryStamp {
  std::string id;      ///< b64 of 16 random bytes
  std::string author;  ///< b64 public key
  std::string name, role;
  std::int64_t time_ms = 0;
};

class SharedCase {
 public:
  /// `change`: b64 of the public change key that every entry must carry; empty: the one that the first entry carries.
  explicit SharedCase(std::string change = {}) : given_change_(std::move(change)) {}

  enum class Taken { added, known };
  /// Takes a body that was signed as it says. What it holds may not fit the rest: that is a finding, no error. Errors:
  /// the body itself cannot be read. O(log n), and O(n) where it goes before what was folded already.
  Result<Taken> take(const std::string& body);

  /// Surfaces of the case, once they are there.
  void set_bodies(std::vector<Body> bodies);
  /// Whether the entry that begins the case is here.
  bool begun() const;
  /// The public change key in effect; empty before the beginning.
  std::string change() const;
  /// The bodies' pieces as the beginning names them; null before it.
  nlohmann::json stored_bodies() const;

  /// The case as everybody sees it: the shared plans with their alternatives, the landmarks.
  const Case& now() const;
  const std::vector<SharedThing>& things() const;
  const SharedThing* find_thing(const std::string& kind, const std::string& name) const;
  /// The plan that is shown under a name, and which of its lines; null when none is.
  std::pair<const SharedThing*, std::size_t> shown_plan(const std::string& shown_as) const;
  const std::vector<Remark>& remarks() const;
  const std::vector<Agreement>& agreements() const;
  /// Everything that does not fit, in the order of the entries. O(n).
  std::vector<ReviewFinding> findings() const;
  /// Entries in the merged order; those with a wrong key are among them.
  const std::vector<ReviewEntry>& entries() const { return entries_; }
  /// Grows whenever an entry is added.
  std::uint64_t revision() const { return revision_; }

  /// The body of a new entry: `fields` says what is done, this adds who, when, and what was seen.
  std::string write(const EntryStamp& stamp, nlohmann::json fields) const;

  /// The whole state in its one form: the same bytes for the same entries, whatever order they came in.
  std::string canonical() const;

 private:
  const ReviewFold& fold() const;

  std::string given_change_;
  std::vector<ReviewEntry> entries_;          // in the merged order
  std::map<std::string, std::string> known_;  // sha256 of each body: its id
  std::vector<Body> bodies_;
  std::uint64_t revision_ = 0;
  // Brought up to date when asked: entries are folded in their order, and afresh when one came in between.
  mutable ReviewFold fold_;
  mutable std::size_t folded_ = 0;
  mutable bool afresh_ = true;
};

}  // namespace intercusp
