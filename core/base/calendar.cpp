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

long day_today() {
  using namespace std::chrono;
  return static_cast<long>(duration_cast<hours>(system_clock::now().time_since_epoch()).count() / 24);
}

}  // namespace intercusp
