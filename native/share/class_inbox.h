// A teacher's inbox on a server: made, filled by students, fetched and deleted (docs/review-protocol.md).
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "base/result.h"
#include "practice/set_link.h"

namespace intercusp::share {

struct MadeInbox {
  InboxAddress address;
  std::int64_t ends_ms = 0;  ///< since 1970
};

/// Makes an inbox for the results of a set; what opens it is kept on this machine (~/.config/intercusp/inboxes) before
/// anybody can use it. `server`: "https://host/".
Result<MadeInbox> make_inbox(const std::string& server, const std::string& set_code, int days);

/// Seals a result and puts it there. Errors: no answer, or the server's words.
Status send_to_inbox(const std::string& server, const InboxAddress& inbox, const std::string& set_code,
                     const std::string& result);

struct FetchedInbox {
  std::vector<std::string> results;   ///< codes, as the students' programs made them; not checked
  std::vector<std::string> left_out;  ///< why others did not open, a sentence each
};
/// Everything in the inbox. Error when it was not made on this machine.
Result<FetchedInbox> fetch_inbox(const std::string& folder, const std::string& set_code);

/// Deletes it from the server, and what opens it from this machine.
Status delete_inbox(const std::string& folder);

}  // namespace intercusp::share
