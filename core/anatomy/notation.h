// Tooth notation, ISO 3950:2016 (two digits: quadrant 1-4, tooth 1-8 counted from the midline).
#pragma once

#include <optional>
#include <string>

namespace intercusp {

enum class ToothKind {
  central_incisor,
  lateral_incisor,
  canine,
  first_premolar,
  second_premolar,
  first_molar,
  second_molar,
  third_molar
};

bool is_permanent_tooth(int iso);
inline int quadrant(int iso) {
  return iso / 10;
}
inline int position(int iso) {
  return iso % 10;
}
inline bool is_upper(int iso) {
  return quadrant(iso) <= 2;
}
inline bool is_right(int iso) {
  return quadrant(iso) == 1 || quadrant(iso) == 4;
}
ToothKind tooth_kind(int iso);
bool is_incisor(int iso);
bool is_canine(int iso);
bool is_premolar(int iso);
bool is_molar(int iso);

/// Mirror across the midline: 36 <-> 46, 13 <-> 23.
int mirrored_tooth(int iso);

/// Universal number (1..32) of a permanent ISO tooth; empty for anything else.
std::optional<int> universal_from_iso(int iso);
std::optional<int> iso_from_universal(int universal);

/// "upper right first molar"
std::string tooth_name(int iso);

}  // namespace intercusp
