// The letters that the sheet's type has, and what stands for those it has not.
#pragma once

#include <string>

namespace intercusp {

/// UTF-8 in the letters of the page's type (code page 1252). Latin letters lose the marks that it does not have, Greek
/// and Cyrillic are written in Latin ones as in passports, everything else as its number, "[U+5F20]": a name must never
/// end as question marks. `changed` is set where that happened.
std::string sheet_letters(const std::string& utf8, bool* changed = nullptr);

}  // namespace intercusp
