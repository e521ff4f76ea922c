#include "formats/number_text.h"

#include <algorithm>
#include <cctype>
#include <clocale>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <limits>

namespace intercusp {
namespace {

constexpr std::size_t kLongestWord = 128;

struct Decimal {
  std::uint64_t digits = 0;  // the first 19 significant digits
  int exponent = 0;          // power of ten
  bool negative = false;
  bool truncated = false;  // more digits than `digits` holds
};

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

// Digits with at most one point; false when there is none.
bool scan_digits(std::string_view word, std::size_t& at, Decimal& number) {
  bool any = false, after_point = false;
  for (; at < word.size(); ++at) {
    if (word[at] == '.' && !after_point) {
      after_point = true;
      continue;
    }
    if (!is_digit(word[at])) break;
    any = true;
    if (number.digits < 1000000000000000000u) {
      number.digits = number.digits * 10 + static_cast<std::uint64_t>(word[at] - '0');
      number.exponent -= after_point;
    } else {
      number.truncated = true;
      number.exponent += !after_point;
    }
  }
  return any;
}

bool scan_exponent(std::string_view word, std::size_t& at, Decimal& number) {
  if (at == word.size() || (word[at] != 'e' && word[at] != 'E')) return true;
  ++at;
  const bool negative = at < word.size() && word[at] == '-';
  if (at < word.size() && (word[at] == '-' || word[at] == '+')) ++at;
  if (at == word.size()) return false;
  int exponent = 0;
  for (; at < word.size() && is_digit(word[at]); ++at) exponent = std::min(exponent * 10 + (word[at] - '0'), 100000);
  number.exponent += negative ? -exponent : exponent;
  return true;
}

// Exact: both factors are whole numbers that a double holds, so there is a single rounding.
bool quick_value(const Decimal& number, double& value) {
  static const double powers[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
                                  1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
  if (number.truncated || number.digits > (std::uint64_t{1} << 53) || std::abs(number.exponent) > 22) return false;
  const double digits = static_cast<double>(number.digits);
  value = number.exponent < 0 ? digits / powers[-number.exponent] : digits * powers[number.exponent];
  if (number.negative) value = -value;
  return true;
}

// The C library rounds correctly but follows the locale's decimal point, so it is given that one.
double careful_value(std::string_view word) {
  std::string copy;
  for (const char c : word) {
    if (c == '.') {
      copy += std::localeconv()->decimal_point;
    } else {
      copy += c;
    }
  }
  return std::strtod(copy.c_str(), nullptr);
}

bool says_not_finite(std::string_view word) {
  std::string lower;
  for (const char c : word) lower += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  if (!lower.empty() && (lower[0] == '-' || lower[0] == '+')) lower.erase(0, 1);
  return lower == "inf" || lower == "infinity" || lower.rfind("nan", 0) == 0 || lower.rfind("1.#", 0) == 0;
}

}  // namespace

NumberKind read_number(std::string_view word, double& value) {
  if (word.empty() || word.size() > kLongestWord) return NumberKind::no_number;
  Decimal number;
  number.negative = word[0] == '-';
  std::size_t at = word[0] == '-' || word[0] == '+' ? 1 : 0;
  if (!scan_digits(word, at, number) || !scan_exponent(word, at, number) || at != word.size()) {
    return says_not_finite(word) ? NumberKind::not_finite : NumberKind::no_number;
  }
  if (!quick_value(number, value)) value = careful_value(word);
  constexpr double kRoundsToInfinity = 0x1.ffffffp+127;  // half a step above the greatest float
  if (!(std::abs(value) < kRoundsToInfinity)) return NumberKind::not_finite;
  return NumberKind::finite;
}

std::optional<std::int64_t> read_whole(std::string_view word) {
  const bool negative = !word.empty() && word[0] == '-';
  if (!word.empty() && (word[0] == '-' || word[0] == '+')) word.remove_prefix(1);
  if (word.empty()) return std::nullopt;
  std::int64_t value = 0;
  for (const char c : word) {
    const int digit = c - '0';
    if (!is_digit(c) || value > (std::numeric_limits<std::int64_t>::max() - digit) / 10) return std::nullopt;
    value = value * 10 + digit;
  }
  return negative ? -value : value;
}

void append_decimal(std::string& text, float value) {
  char digits[32];
  for (int figures = 6; figures <= 9; ++figures) {
    std::snprintf(digits, sizeof digits, "%.*g", figures, static_cast<double>(value));
    for (char& c : digits) {
      if (c == ',') c = '.';
      if (c == '\0') break;
    }
    double back = 0;
    if (read_number(digits, back) == NumberKind::finite && static_cast<float>(back) == value) break;
  }
  text += digits;
}

}  // namespace intercusp
