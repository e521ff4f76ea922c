#include "app/scene/words.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>

namespace intercusp {

std::string amount(double value, int decimals) {
  char text[48];
  std::snprintf(text, sizeof text, "%.*f", decimals, std::abs(value));
  return text;
}

std::string signed_amount(double value, int decimals) {
  const std::string digits = amount(value, decimals);
  const bool below = value < 0 && digits.find_first_of("123456789") != std::string::npos;
  return (below ? "\xE2\x88\x92" : "") + digits;
}

std::string change_amount(double value, int decimals) {
  const std::string digits = amount(value, decimals);
  const bool zero = digits.find_first_of("123456789") == std::string::npos;
  return (zero || value < 0 ? "" : "+") + signed_amount(value, decimals);
}

std::string listed(const std::vector<std::string>& items, std::size_t most) {
  std::string words;
  const std::size_t shown = std::min(items.size(), most);
  for (std::size_t i = 0; i < shown; ++i) {
    if (i > 0) words += i + 1 == items.size() ? " and " : ", ";
    words += landmark_words(items[i]);
  }
  if (shown < items.size()) words += " and " + std::to_string(items.size() - shown) + " more";
  return words;
}

std::string landmark_words(const std::string& name) {
  std::string words = name;
  for (char& c : words)
    if (c == '.' || c == '_') c = ' ';
  return words;
}

std::string short_name(const MeasureDefinition& d) {
  static const std::map<std::string, std::string> names = {
      {"overbite_percent", "Overbite, %"},      {"midline_upper_lower", "Midlines"},
      {"midline_upper_face", "Upper midline"},  {"midline_lower_face", "Lower midline"},
      {"molar_right", "Molar, right"},          {"molar_left", "Molar, left"},
      {"canine_right", "Canine, right"},        {"canine_left", "Canine, left"},
      {"intercanine_upper", "Upper 3 to 3"},    {"intercanine_lower", "Lower 3 to 3"},
      {"intermolar_upper", "Upper 6 to 6"},     {"intermolar_lower", "Lower 6 to 6"},
      {"tooth_size_overall", "Tooth ratio 12"}, {"tooth_size_anterior", "Tooth ratio 6"},
      {"curve_of_spee_right", "Spee, right"},   {"curve_of_spee_left", "Spee, left"}};
  const auto found = names.find(d.id);
  return found == names.end() ? d.name : found->second;
}

std::string sideways_words(double mm) {
  if (std::abs(mm) < 0.005) return "coincident";
  return amount(mm, 2) + " mm to the patient's " + (mm > 0 ? "left" : "right");
}

}  // namespace intercusp
