#include "formats/units.h"

#include <cmath>
#include <cstdio>
#include <iterator>

namespace intercusp {
namespace {

struct Unit {
  const char* name;
  const char* plural;
  double factor;
  double low, high;            // extent of a dental arch in this unit
  double bone_low, bone_high;  // and of a jaw bone or skull
};

constexpr Unit kUnits[] = {{"mm", "millimetres", 1, 30, 120, 60, 400},
                           {"cm", "centimetres", 10, 3, 12, 6, 40},
                           {"m", "metres", 1000, 0.03, 0.12, 0.06, 0.4},
                           {"inch", "inches", 25.4, 1.2, 4.7, 2.4, 15.7}};

// Three figures, with a point under every locale.
std::string rounded(double value) {
  char text[40];
  std::snprintf(text, sizeof text, "%.3g", value);
  std::string result = text;
  for (char& c : result) c = c == ',' ? '.' : c;
  return result;
}

UnitCandidate candidate(const Unit& unit, double extent) {
  return {unit.name, unit.factor, extent * unit.factor};
}

std::string question(const UnitGuess& guess, double extent) {
  const std::string found = "The scan is " + rounded(extent) + " units long";
  if (!(extent > 0) || !std::isfinite(extent)) return "The scan has no extent, so it cannot be a dental arch.";
  if (guess.certainly_mm) return found + ", the size of a dental arch in millimetres.";
  if (guess.candidates.size() > 2)
    return found + ", which is no dental arch in any usual unit. Say which unit it is in.";
  std::string text = found + ", too short for millimetres. ";
  for (const UnitCandidate& c : guess.candidates) {
    text += (&c == &guess.candidates[0] ? "In " : " or in ");
    for (const Unit& unit : kUnits) text += unit.name == c.unit ? unit.plural : "";
    text += " it would be " + rounded(c.size_mm) + " mm";
  }
  return text + ". Confirm the unit.";
}

}  // namespace

UnitGuess guess_units(double extent) {
  UnitGuess guess;
  for (const Unit& unit : kUnits) {
    if (extent >= unit.low && extent <= unit.high) guess.candidates.push_back(candidate(unit, extent));
  }
  guess.certainly_mm = guess.candidates.size() == 1 && guess.candidates[0].unit == "mm";
  if (guess.candidates.empty()) {
    for (const Unit& unit : kUnits) guess.candidates.push_back(candidate(unit, extent));
  }
  guess.sentence = question(guess, extent);
  return guess;
}

UnitGuess guess_surface_units(double extent) {
  UnitGuess arch = guess_units(extent);
  UnitGuess bone;
  for (const Unit& unit : kUnits) {
    if (extent >= unit.bone_low && extent <= unit.bone_high) bone.candidates.push_back(candidate(unit, extent));
  }
  const bool arch_somehow = arch.candidates.size() < std::size(kUnits);
  if (arch_somehow || bone.candidates.empty()) return arch;
  bone.certainly_mm = bone.candidates.size() == 1 && bone.candidates[0].unit == "mm";
  bone.sentence = bone.certainly_mm
                      ? "The surface is " + rounded(extent) + " units long, the size of bone in millimetres."
                      : question(bone, extent);
  return bone;
}

std::optional<double> factor_to_mm(const std::string& unit) {
  for (const Unit& known : kUnits) {
    if (unit == known.name) return known.factor;
  }
  return std::nullopt;
}

}  // namespace intercusp
