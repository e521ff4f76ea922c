#pragma once

#include <string>

#include "base/result.h"

namespace intercusp::share {

/// The seed of this person's own Ed25519 key, made on first use and kept in their settings folder, readable by them
/// alone.
Result<std::string> person_seed();

/// The same, or a fresh one that is not kept where another window of this person has it already: two that write with
/// one key would number their entries alike. Held until the program ends.
Result<std::string> person_seed_of_this_window();

/// Keeps a case's owner secret beside it, and finds it again. Errors: this person did not share that case from here.
Status keep_owner_secret(const std::string& folder, const std::string& secret);
Result<std::string> owner_secret(const std::string& folder);
/// The case is gone.
void forget_owner_secret(const std::string& folder);

}  // namespace intercusp::share
