#include "app/panels/cut_words.h"

#include "app/scene/words.h"

namespace intercusp {

namespace {

bool key_ends(const CutSetting& s, const std::string& end) {
  return s.key.size() >= end.size() && s.key.compare(s.key.size() - end.size(), end.size(), end) == 0;
}

}  // namespace

bool is_length(const CutSetting& setting) {
  return key_ends(setting, "_mm");
}

bool is_angle(const CutSetting& setting) {
  return key_ends(setting, "_deg");
}

std::string setting_words(const CutSetting& setting, double value) {
  if (is_length(setting)) return signed_amount(value, 1) + " mm";
  if (is_angle(setting)) return signed_amount(value, 1) + "\xC2\xB0";
  if (setting.key == "depth_share") return amount(100 * value, 0) + " %";
  return amount(value, 0);
}

}  // namespace intercusp
