#pragma once

#include <optional>
#include <string>

namespace intercusp {

/// A warning when a case id looks like a person's name or a date of birth, else nothing. A guess by form: a date
/// written with digits, eight digits that can be a date, or two or more words that begin with a capital.
std::optional<std::string> id_warning(const std::string& case_id);

}  // namespace intercusp
