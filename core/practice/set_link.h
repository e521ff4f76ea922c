// The link to a set: the address of a program, the set's code, and where the teacher wants the results.
#pragma once

#include <optional>
#include <string>

#include "practice/question_set.h"

namespace intercusp {

/// Where results go, sealed: a folder on the link's server. base64url each.
struct InboxAddress {
  std::string folder;  ///< 22 letters
  std::string write;   ///< token that lets results in, 32 bytes
  std::string key;     ///< the teacher's public key, uncompressed P-256 point, 65 bytes
};

struct SetLink {
  std::string server;  ///< "https://host/" as it stands before '#'; empty in a fragment or a code alone
  std::string code;    ///< see set_code
  QuestionSet set;     ///< that it says
  std::optional<InboxAddress> inbox;
};

/// Reads a whole link, what stands behind its '#', or a set's code alone. Error when there is no sound set in it, or an
/// inbox that is not whole.
Result<SetLink> read_set_link(const std::string& text);
/// What goes behind '#'.
std::string set_fragment(const std::string& code, const std::optional<InboxAddress>& inbox);

/// "1.FOLDER.WRITE.KEY" as it stands in the link, and back; nothing where it is not whole.
std::string inbox_text(const InboxAddress& inbox);
std::optional<InboxAddress> read_inbox(const std::string& text);

}  // namespace intercusp
