#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "review/entry.h"
#include "review/review_link.h"
#include "review/review_wire.h"

namespace intercusp::share {

/// A sealed entry that is signed as it says. Whose change key counts is decided by all of them together.
Result<ReviewEntry> open_entry(const secrets::ReviewKeys& keys, const std::string& folder,
                               const secrets::LogFrame& frame);

/// The public change key (b64) that the link speaks of; of an old view link that of the first beginning. Empty: none.
std::string change_key_of(const secrets::ReviewLink& link, const std::vector<ReviewEntry>& entries);

}  // namespace intercusp::share
