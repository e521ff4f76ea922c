// The link to a set: the address of a program, the set's code, and where the teacher wants the results.
#pragma once

#include <optional>
#include <string>

#include "practice/graded_set.h"
#include "practice/question_set.h"

namespace intercusp {

/// Where results go, sealed: a folder on the link's server. base64url each.
struct InboxAddress {
  std::string folder;  ///< 22 letters
  std::string write;   ///< token that lets results in, 32 bytes
  std::string key;     ///< the teacher's public key, uncompressed P-256 point, 65 bytes
};

struct SetLink {
  std::string server;                  ///< "https://host/" as it stands before '#'; empty in a fragment or a code alone
  std::string code;                    ///< see set_code; of a graded set's student see ticket_code
  QuestionSet set;                     ///< that it says; of a ticket without kinds, seed and difficulty
  std::optional<GradedTicket> ticket;  ///< a graded set as a student has it
  std::string results_of;  ///< what results are sealed, signed and checked with: `code`, or the name of a graded set
  std::optional<InboxAddress> inbox;
};

/// Whether a text is a link or code of a set by how it begins, sound or not.
bool is_set_link(const std::string& text);

/// Reads a whole link, what stands behind its '#', or a code alone. Error when there is no sound set in it, or an inbox
/// that is not whole.
Result<SetLink> read_set_link(const std::string& text);
/// What goes behind '#'.
std::string set_fragment(const std::string& code, const std::optional<InboxAddress>& inbox);

/// "1.FOLDER.WRITE.KEY" as it stands in the link, and back; nothing where it is not whole.
std::string inbox_text(const InboxAddress& inbox);
std::optional<InboxAddress> read_inbox(const std::string& text);

}  // namespace intercusp
