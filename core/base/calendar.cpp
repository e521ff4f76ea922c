#include "base/calendar.h"

#include <chrono>
#include <ctime>

namespace intercusp {

std::string date_today() {
  const std::time_t now = std::time(nullptr);
  std::tm utc{};
  char text[16] = "";
  std::strftime(text, sizeof text, "%Y-%m-%d", ::gmtime_r(&now, &utc));
  return text;
}

std::optional<Date> parse_date(const std::string& text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return std::nullopt;
  int parts[3] = {0, 0, 0}, part = 0;
  for (const char c : text) {
    if (c == '-') {
      if (++part > 2) return std::nullopt;
      continue;
    }
    if (c < '0' || c > '9') return std::nullopt;
    parts[part] = 10 * parts[part] + (c - '0');
  }
  const Date date{parts[0], parts[1], parts[2]};
  if (date.year < 1 || date.month < 1 || date.month > 12 || date.day < 1) return std::nullopt;
  constexpr int kDays[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  const bool leap = date.year % 4 == 0 && (date.year % 100 != 0 || date.year % 400 == 0);
  const int days = kDays[date.month - 1] + (leap && date.month == 2 ? 1 : 0);
  return date.day <= days ? std::optional<Date>(date) : std::nullopt;
}

long day_today() {
  using namespace std::chrono;
  return static_cast<long>(duration_cast<hours>(system_clock::now().time_since_epoch()).count() / 24);
}

}  // namespace intercusp
