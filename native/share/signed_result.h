#pragma once

#include <string>

#include "practice/set_result.h"

namespace intercusp::share {

/// The code of a result, signed with this person's own key (person_key.h). Error when no key can be kept or read.
Result<std::string> signed_result(const std::string& set_code, const SetResult& result);

/// Whether a result is as it was when it was signed. One that is not signed makes no claim, and fits.
bool signature_fits(const ReadResult& read);

}  // namespace intercusp::share
