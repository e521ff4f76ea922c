#include "practice/words.h"

#include <cmath>

namespace intercusp {

std::string short_number(double value, int decimals) {
  long long scale = 1;
  for (int i = 0; i < decimals; ++i) scale *= 10;
  const long long n = std::llround(std::abs(value) * static_cast<double>(scale));
  std::string text = std::to_string(n / scale);
  std::string rest = std::to_string(n % scale);
  rest.insert(
      0, static_cast<std::size_t>(decimals) - std::min<std::size_t>(rest.size(), static_cast<std::size_t>(decimals)),
      '0');
  while (!rest.empty() && rest.back() == '0') rest.pop_back();
  if (!rest.empty()) text += "." + rest;
  return value < 0 && n != 0 ? "-" + text : text;
}

std::string teeth_words(const std::vector<int>& teeth) {
  std::string text;
  for (std::size_t i = 0; i < teeth.size(); ++i)
    text += (i == 0 ? "" : i + 1 == teeth.size() ? " and " : ", ") + std::to_string(teeth[i]);
  return text.empty() ? "none" : text;
}

}  // namespace intercusp
