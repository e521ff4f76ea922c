// Putting a case on a review server and getting it back, sealed and signed as docs/review-protocol.md has it.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "base/result.h"
#include "casebook/case.h"
#include "review/review_link.h"
#include "review/shared_case.h"
#include "share/server_line.h"

namespace intercusp::share {

struct Sharer {
  std::string name, role;
  int days = 30;
};

struct Published {
  secrets::ReviewLink link;  ///< without the server
  std::int64_t ends_ms = 0;
};

/// Makes a folder, sends the bodies in pieces and then the entry that begins the history. The owner secret is kept in
/// the settings folder before anything is sent.
Result<Published> publish_case(ServerLine& line, const Case& c, const Sharer& sharer);

struct FetchedCase {
  Case c;
  std::vector<std::string> notes;  ///< what did not count or does not fit, for a person
  std::size_t entries = 0, remarks = 0;
  std::vector<Agreement> agreements;
};

/// Reads the whole history, checks every signature, and makes the case of it. What is not sound is left out and noted.
Result<FetchedCase> fetch_case(ServerLine& line, const secrets::ReviewLink& link);

/// Deletes the case from its server. Errors: it was not shared from here, or the server's.
Status withdraw_case(ServerLine& line, const secrets::ReviewLink& link);

}  // namespace intercusp::share
