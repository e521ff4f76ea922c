// A document being worked on and the shared case kept in step: what a person does becomes entries, what others do is
// carried into the document and its history. Knows no network.
#pragma once

#include <functional>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "casebook/document.h"
#include "review/local_changes.h"
#include "review/shared_case.h"

namespace intercusp {

class Sharing {
 public:
  using Stamp = std::function<EntryStamp()>;

  /// `change`: see SharedCase.
  explicit Sharing(std::string change = {}) : shared_(std::move(change)) {}

  const SharedCase& shared() const { return shared_; }
  void set_bodies(std::vector<Body> bodies) { shared_.set_bodies(std::move(bodies)); }

  /// What came of taking or publishing entries.
  struct News {
    std::vector<std::string> bodies;  ///< written here, to be sent
    std::vector<Error> refused;       ///< bodies that could not be read
    std::vector<std::string> words;   ///< what a person should hear of it
  };

  /// Notes on which versions the document's own changes were made; call it whenever the document changed.
  void watch(const Document& document);
  /// Whether the document holds changes that are not published.
  bool has_changes() const { return !made_on_.empty(); }
  /// Takes bodies from elsewhere and carries what they change into the document. `plan` is the plan that is worked on:
  /// it follows when it is shown under another name. With `document` null (not open yet) only takes them.
  News take(Document* document, const std::vector<std::string>& bodies, std::string& plan);
  /// Writes an entry for everything that the document has and the shared case has not.
  News publish(Document& document, const Stamp& stamp, std::string& plan);
  /// Writes an entry that changes no part of the case: a remark, a reply, an agreement, the beginning.
  /// Error where the entry is not as it must be, too long among others.
  Result<std::string> write(const Stamp& stamp, nlohmann::json fields);

  /// Shows what somebody else is just dragging: not a change of this document's own. Null ends it.
  void preview(Document& document, const std::string& shown_as, const Plan* plan);

 private:
  Case without_previews(const Case& c) const;
  void end_previews(Document& document);
  void follow(std::string& plan, const std::string& thing, const std::string& version) const;
  std::set<std::string> took_effect(const std::vector<LocalChange>& changes, const Case& mine) const;

  SharedCase shared_;
  std::map<std::string, std::string> made_on_;  // key of a local change: version
  std::map<std::string, Plan> previews_;        // by the name shown
};

}  // namespace intercusp
