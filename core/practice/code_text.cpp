#include "practice/code_text.h"

#include <algorithm>

#include <nlohmann/json.hpp>

#include "base/base64.h"
#include "base/json_read.h"
#include "base/sha256.h"

namespace intercusp {

namespace {

constexpr std::size_t kLongestLabel = 60;

std::string check_of(const std::string& what) {
  return sha256_hex(what.data(), what.size()).substr(0, 10);
}

}  // namespace

std::string code_body(const nlohmann::json& document) {
  return base64url(document.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace));
}

std::string checked_code(const std::string& prefix, const std::string& body, const std::string& with) {
  return prefix + body + "." + check_of(prefix + body + with);
}

Error bad_code(const std::string& what, const std::string& which) {
  return Error{what, which, "copy the whole code again"};
}

Result<std::string> body_of_code(const std::string& prefix, std::string code, const std::string& with,
                                 const std::string& which) {
  const auto space = [](char c) { return c == ' ' || c == '\n' || c == '\r' || c == '\t'; };
  code.erase(std::remove_if(code.begin(), code.end(), space), code.end());
  const std::size_t dot = code.rfind('.');
  if (code.size() > kLongestCode || code.rfind(prefix, 0) != 0) return bad_code("this is no code of practice", which);
  if (dot == std::string::npos) return bad_code("the code is cut short", which);
  const std::string whole = code.substr(0, dot);
  if (code.substr(dot + 1) != check_of(whole + with))
    return bad_code(with.empty() ? "the code is cut short or damaged" : "the code is damaged, or of another set",
                    which);
  return whole.substr(prefix.size());
}

Result<nlohmann::json> document_of_body(const std::string& body, const std::string& which) {
  const auto text = from_base64url(body);
  if (!text) return bad_code("the code holds characters that do not belong there", which);
  return parse_json(text->data(), text->size());
}

std::string short_label(const std::string& text) {
  if (text.size() <= kLongestLabel) return text;
  std::size_t end = kLongestLabel;
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0) == 0x80) --end;  // the middle of a letter
  return text.substr(0, end);
}

}  // namespace intercusp
