// What the entries of a shared case add up to. Within this room; others ask a SharedCase.
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "casebook/case.h"
#include "review/entry.h"
#include "review/shared_thing.h"

namespace intercusp {

struct RemarkReply {
  std::string id, author, name, role, text;
  std::int64_t time_ms = 0;
};

/// A remark pinned to a place of a body (in its own scan space, so that it moves with it) or to a measure.
struct Remark {
  std::string id, author, name, role, text;
  std::int64_t time_ms = 0;
  std::string body, measure;                                 ///< one of them
  Vec3 point = Vec3::Zero();                                 ///< mm, scan space of the body
  nlohmann::json view;                                       ///< camera that it was made in; null where none
  std::shared_ptr<const std::vector<std::uint8_t>> picture;  ///< of that view, JPEG; null where none
  bool resolved = false;
  std::string resolved_by;
  std::vector<RemarkReply> replies;
};

/// What somebody agreed to, as it was said. Whether it still holds: agreed.h.
struct Agreement {
  std::string id, author, name, role;
  std::string part;    ///< occlusion or movement
  std::string plan;    ///< the shared plan's name
  std::string on;      ///< version of the plan that was agreed to
  std::string digest;  ///< of the plan then
  std::int64_t time_ms = 0;
  bool withdrawn = false;
  std::size_t place = 0;  ///< in the merged order
};

/// Something that does not fit: a gap, a repeat, a wrong key. A sentence for a person.
struct ReviewFinding {
  std::string entry;  ///< id of the entry concerned; may be empty
  std::string words;
};

struct ReviewFold {
  bool begun = false;
  std::string change;            ///< public change key in effect
  nlohmann::json stored_bodies;  ///< as the beginning names them
  Case base;                     ///< as it was shared
  std::vector<SharedThing> things;
  std::map<std::string, std::size_t> index;  ///< kind, space, name: place in `things`
  std::vector<Remark> remarks;
  std::vector<Agreement> agreements;
  std::vector<ReviewFinding> findings;
  Case now;

  const SharedThing* find(const std::string& kind, const std::string& name) const;
  /// Adds the next entry in the merged order. O(lines of the thing).
  void apply(const ReviewEntry& entry, std::size_t place);
  /// Names the alternatives and makes `now` of the things. O(things).
  void finish();

 private:
  SharedThing& thing_of(const std::string& kind, const std::string& name, nlohmann::json first = nullptr);
  void begin(const ReviewEntry& entry);
  void change_thing(const ReviewEntry& entry, const std::string& kind, const std::string& name, nlohmann::json value);
  void answer(const ReviewEntry& entry);
};

}  // namespace intercusp
