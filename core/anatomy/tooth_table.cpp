#include "anatomy/tooth_table.h"

#include "anatomy/notation.h"

namespace intercusp {

const std::array<ToothSize, 16>& tooth_table() {
  static const char* const kSeen = "looked up (buccolingual cervix from memory)";
  static const char* const kRecalled = "from memory";
  static const std::array<ToothSize, 16> kTable{{
      // tooth crown root  MD   MDc   BL    BLc  curve  inner root
      {11, 10.5, 13.0, 8.5, 7.0, 7.0, 6.0, 3.5, 2.5, 13.0, kSeen},
      {12, 9.0, 13.0, 6.5, 5.0, 6.0, 5.0, 3.0, 2.0, 13.0, kSeen},
      {13, 10.0, 17.0, 7.5, 5.5, 8.0, 7.0, 2.5, 1.5, 17.0, kRecalled},
      {14, 8.5, 14.0, 7.0, 5.0, 9.0, 8.0, 1.0, 0.0, 14.0, kRecalled},
      {15, 8.5, 14.0, 7.0, 5.0, 9.0, 8.0, 1.0, 0.0, 14.0, kRecalled},
      {16, 7.5, 12.0, 10.0, 8.0, 11.0, 10.0, 1.0, 0.0, 13.0, kRecalled},
      {17, 7.0, 11.0, 9.0, 7.0, 11.0, 10.0, 1.0, 0.0, 12.0, kRecalled},
      {18, 6.5, 11.0, 8.5, 6.5, 10.0, 9.5, 1.0, 0.0, 11.0, kRecalled},
      {41, 9.0, 12.5, 5.0, 3.5, 6.0, 5.3, 3.0, 2.0, 12.5, kRecalled},
      {42, 9.5, 14.0, 5.5, 4.0, 6.5, 5.8, 3.0, 2.0, 14.0, kRecalled},
      {43, 11.0, 16.0, 7.0, 5.5, 7.5, 7.0, 2.5, 1.0, 16.0, kRecalled},
      {44, 8.5, 14.0, 7.0, 5.0, 7.5, 6.5, 1.0, 0.0, 14.0, kRecalled},
      {45, 8.0, 14.5, 7.0, 5.0, 8.0, 7.0, 1.0, 0.0, 14.5, kRecalled},
      {46, 7.5, 14.0, 11.0, 9.0, 10.5, 9.0, 1.0, 0.0, 14.0, kRecalled},
      {47, 7.0, 13.0, 10.5, 8.0, 10.0, 9.0, 1.0, 0.0, 13.0, kRecalled},
      {48, 7.0, 11.0, 10.0, 7.5, 9.5, 9.0, 1.0, 0.0, 11.0, kRecalled},
  }};
  return kTable;
}

std::optional<ToothSize> tooth_size(int iso) {
  if (!is_permanent_tooth(iso)) return std::nullopt;
  const std::size_t row = static_cast<std::size_t>((is_upper(iso) ? 0 : 8) + position(iso) - 1);
  return tooth_table()[row];
}

}  // namespace intercusp
