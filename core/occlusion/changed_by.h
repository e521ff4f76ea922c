#pragma once

#include <string>

namespace intercusp {

/// What would change a measure, for a person: which movement of a jaw or of teeth, and which landmark it hangs on most.
std::string changed_by(const std::string& id);

}  // namespace intercusp
