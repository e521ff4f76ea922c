#pragma once

#include <optional>
#include <string>
#include <vector>

namespace intercusp {

/// A unit that the file may be in, and how long the surface would then be.
struct UnitCandidate {
  std::string unit;     ///< "mm", "cm", "m" or "inch"
  double factor_to_mm;  ///< multiply lengths of the file by this
  double size_mm;       ///< the largest extent then
};

struct UnitGuess {
  bool certainly_mm = false;              ///< nothing to ask
  std::vector<UnitCandidate> candidates;  ///< likeliest first; all four units when nothing fits
  std::string sentence;                   ///< for a person: what was found and what to decide
};

/// What unit a scan of a dental arch is in, from the largest extent of its box. 30 to 120 is millimetres; otherwise the
/// caller asks: a scan is never rescaled silently. Ranges are common practice, no source.
UnitGuess guess_units(double extent);
/// The same of a surface that may be jaw bone as well: what is no arch in any unit, and 60 to 400 mm long in one, is
/// bone.
UnitGuess guess_surface_units(double extent);

/// 1, 10, 1000 or 25.4 for mm, cm, m or inch; nothing for other words.
std::optional<double> factor_to_mm(const std::string& unit);

}  // namespace intercusp
