// The rows of the number table: which are shown, and how a value is written where there is little room.
#pragma once

#include <string>
#include <vector>

#include "app/work/workspace.h"

namespace intercusp {

/// A value in two parts, so that digits of a column line up: "4.00" and "rev". Never a bare sign.
struct BriefNumber {
  std::string digits, side;
};
BriefNumber brief_number(const MeasureDefinition& definition, const MeasureValue& value);
/// By how much a value changed: a way where the measure has two ("1.50", "R"), else "+1.50" or "-1.50" for more or
/// less.
BriefNumber brief_change(const MeasureDefinition& definition, double change);
/// "4.00 mm reverse", "1.20 mm R": one value of a measure for a line of text, never a bare sign.
std::string measure_words(const MeasureDefinition& definition, double value);
int decimals_of(const MeasureDefinition& definition);
/// One standard deviation with as many decimals as it deserves: "0.4", "0.04".
std::string uncertainty_digits(const MeasureDefinition& definition, double sd);

/// The rows of the table as they are shown; `all` includes those that the person has put away. What waits for bone, and
/// not for a click, is left out.
std::vector<MeasureRow> number_rows(const Workspace& w, bool all);

/// The table as text for a letter, or as CSV (RFC 4180) for a spreadsheet.
std::string numbers_as_text(const Workspace& w);
std::string numbers_as_csv(const Workspace& w);

}  // namespace intercusp
