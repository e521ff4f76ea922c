// Whether what people agreed to still holds, and what changed since if not.
#pragma once

#include <string>
#include <vector>

#include "review/shared_case.h"

namespace intercusp {

/// An agreement that nobody took back, on the plan shown under a name.
struct StandingAgreement {
  Agreement agreement;
  bool current = false;              ///< the plan's digest is the one agreed to
  std::vector<std::string> changes;  ///< what changed since, in sentences; empty while current
};

/// What holds for the plan shown under this name: the last word of each person on each part. Computes the plan's
/// digest.
std::vector<StandingAgreement> agreements_on(const SharedCase& shared, const std::string& shown_as);

/// From one plan to another, in sentences: "Upper jaw: was 5.0 mm forward, is 7.0 mm forward."
std::vector<std::string> plan_changes(const Plan& before, const Plan& after);

/// What an entry of a plan does: "Upper jaw: 5.0 mm forward".
std::string plan_entry_words(const PlanEntry& entry);

/// For the sheet, a line each part: "occlusion: agreed by R. Falk, orthodontist, key 12ab 34cd ..., 2026-03-02, on
/// digest
/// ...", "occlusion: not agreed", or that it is outdated.
std::vector<std::string> agreement_lines(const SharedCase& shared, const std::string& shown_as);

/// The fingerprint of an author's key: the first 20 hex digits of its SHA-256, in groups of four; empty where the text
/// is no key.
std::string key_fingerprint(const std::string& author);

/// "2026-03-02 14:05" in UTC.
std::string moment_words(std::int64_t ms_since_1970);

}  // namespace intercusp
