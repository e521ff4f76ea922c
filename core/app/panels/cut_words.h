#pragma once

#include <string>

#include "surgery/osteotomy.h"

namespace intercusp {

/// Whether a setting is a length or an angle, by its key.
bool is_length(const CutSetting& setting);
bool is_angle(const CutSetting& setting);
/// The value of a setting with its unit: "5.0 mm", a true minus sign below zero.
std::string setting_words(const CutSetting& setting, double value);

}  // namespace intercusp
