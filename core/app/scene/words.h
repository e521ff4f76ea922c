// Numbers as the interface writes them: no bare signs.
#pragma once

#include <string>
#include <vector>

#include "base/capital.h"
#include "occlusion/measure.h"

namespace intercusp {

/// "2.50", decimals as asked, without sign.
std::string amount(double value, int decimals);
/// "2.50" or, below zero, with a true minus sign.
std::string signed_amount(double value, int decimals);
/// "+0.40" for a change; a true minus sign; "0.00" when it rounds to zero.
std::string change_amount(double value, int decimals);
/// "16, 26 and 11"
std::string listed(const std::vector<std::string>& items, std::size_t most = 3);
/// A landmark for a sentence: "46 buccal groove".
std::string landmark_words(const std::string& name);
/// A measure's name for narrow places: "Upper 6 to 6".
std::string short_name(const MeasureDefinition& definition);
/// "2.00 mm to the patient's left", "0.00 mm, coincident".
std::string sideways_words(double mm);

}  // namespace intercusp
