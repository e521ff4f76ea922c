#include "formats/import_error.h"

namespace intercusp {
namespace {

std::string place(const std::string& display_name, const char* unit, std::size_t number) {
  const std::string where = unit + (" " + std::to_string(number));
  return display_name.empty() ? where : display_name + ", " + where;
}

}  // namespace

const char* const kExportAgain = "the file may be damaged or cut off; copy it again or export the scan again";

Error error_at_byte(const std::string& display_name, std::size_t byte, std::string what, std::string remedy) {
  return {std::move(what), place(display_name, "byte", byte), std::move(remedy)};
}

Error error_at_line(const std::string& display_name, std::size_t line, std::string what, std::string remedy) {
  return {std::move(what), place(display_name, "line", line), std::move(remedy)};
}

std::string with_commas(std::uint64_t number) {
  std::string text = std::to_string(number);
  for (std::size_t at = text.size(); at > 3;) {
    at -= 3;
    text.insert(at, ",");
  }
  return text;
}

}  // namespace intercusp
