#include "anatomy/notation.h"

#include <cassert>

namespace intercusp {

bool is_permanent_tooth(int iso) {
  return iso > 0 && quadrant(iso) >= 1 && quadrant(iso) <= 4 && position(iso) >= 1 && position(iso) <= 8;
}

ToothKind tooth_kind(int iso) {
  assert(is_permanent_tooth(iso));
  return static_cast<ToothKind>(position(iso) - 1);
}

bool is_incisor(int iso) {
  return is_permanent_tooth(iso) && position(iso) <= 2;
}
bool is_canine(int iso) {
  return is_permanent_tooth(iso) && position(iso) == 3;
}
bool is_premolar(int iso) {
  return is_permanent_tooth(iso) && (position(iso) == 4 || position(iso) == 5);
}
bool is_molar(int iso) {
  return is_permanent_tooth(iso) && position(iso) >= 6;
}

int mirrored_tooth(int iso) {
  assert(is_permanent_tooth(iso));
  constexpr int kPartner[] = {0, 2, 1, 4, 3};
  return 10 * kPartner[quadrant(iso)] + position(iso);
}

std::optional<int> universal_from_iso(int iso) {
  if (!is_permanent_tooth(iso)) return std::nullopt;
  const int n = position(iso);
  switch (quadrant(iso)) {
    case 1:
      return 9 - n;
    case 2:
      return 8 + n;
    case 3:
      return 25 - n;
    default:
      return 24 + n;
  }
}

std::optional<int> iso_from_universal(int universal) {
  if (universal < 1 || universal > 32) return std::nullopt;
  if (universal <= 8) return 10 + (9 - universal);
  if (universal <= 16) return 20 + (universal - 8);
  if (universal <= 24) return 30 + (25 - universal);
  return 40 + (universal - 24);
}

std::string tooth_name(int iso) {
  if (!is_permanent_tooth(iso)) return "tooth " + std::to_string(iso);
  static const char* const kKinds[] = {"central incisor", "lateral incisor", "canine",       "first premolar",
                                       "second premolar", "first molar",     "second molar", "third molar"};
  return std::string(is_upper(iso) ? "upper " : "lower ") + (is_right(iso) ? "right " : "left ") +
         kKinds[position(iso) - 1];
}

}  // namespace intercusp
