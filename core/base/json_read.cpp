#include "base/json_read.h"

namespace intercusp {

namespace {

constexpr int kDeepest = 64;

/// Byte of the first bracket that nests too deeply, or npos. Brackets inside strings do not count.
std::size_t too_deep_at(const char* text, std::size_t size) {
  int depth = 0;
  bool in_string = false;
  for (std::size_t i = 0; i < size; ++i) {
    const char ch = text[i];
    if (in_string) {
      if (ch == '\\') ++i;
      if (ch == '"') in_string = false;
      continue;
    }
    if (ch == '"') in_string = true;
    if (ch == '[' || ch == '{') {
      if (++depth > kDeepest) return i;
    }
    if (ch == ']' || ch == '}') --depth;
  }
  return std::string::npos;
}

/// Stops at the first syntax error and remembers where it was.
class Where : public nlohmann::json::json_sax_t {
 public:
  bool null() override { return true; }
  bool boolean(bool) override { return true; }
  bool number_integer(number_integer_t) override { return true; }
  bool number_unsigned(number_unsigned_t) override { return true; }
  bool number_float(number_float_t, const string_t&) override { return true; }
  bool string(string_t&) override { return true; }
  bool binary(binary_t&) override { return true; }
  bool start_object(std::size_t) override { return true; }
  bool key(string_t&) override { return true; }
  bool end_object() override { return true; }
  bool start_array(std::size_t) override { return true; }
  bool end_array() override { return true; }
  bool parse_error(std::size_t at, const std::string&, const nlohmann::json::exception&) override {
    byte = at;
    return false;
  }
  std::size_t byte = 0;
};

}  // namespace

Result<nlohmann::json> parse_json(const char* text, std::size_t size) {
  const std::size_t deep = too_deep_at(text, size);
  if (deep != std::string::npos) {
    return Error{"the JSON nests deeper than " + std::to_string(kDeepest) + " levels", "byte " + std::to_string(deep),
                 ""};
  }
  nlohmann::json document = nlohmann::json::parse(text, text + size, nullptr, false);
  if (!document.is_discarded()) return document;
  Where where;
  nlohmann::json::sax_parse(text, text + size, &where);
  return Error{"this is not well-formed JSON", "byte " + std::to_string(where.byte),
               "check the file or write it again"};
}

}  // namespace intercusp
