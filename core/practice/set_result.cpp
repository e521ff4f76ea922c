#include "practice/set_result.h"

#include <nlohmann/json.hpp>

#include "base/base64.h"
#include "base/json_read.h"
#include "practice/code_text.h"
#include "practice/question_set.h"

namespace intercusp {

using nlohmann::json;

namespace {

constexpr std::size_t kLongestAnswer = 400, kResultKeyBytes = 32, kResultSignatureBytes = 64;
constexpr double kLongestSeconds = 1e6;
// Of version 1 are those that were made before results were signed.
const std::string kUnsignedPrefix = "res1-", kSignedPrefix = "res2-";
const char kSignedPurpose[] = "intercusp practice 1 result";

std::string result_body(const SetResult& result) {
  json answers = json::array();
  for (const GivenAnswer& given : result.answers)
    answers.push_back({given.text.substr(0, kLongestAnswer), static_cast<long>(given.seconds + 0.5)});
  return code_body({{"by", short_label(result.by)}, {"answers", answers}});
}

std::string signed_bytes_of(const std::string& set_code, const std::string& body) {
  return kSignedPurpose + std::string(1, '\0') + set_code + std::string(1, '\0') + body;
}

Result<SetResult> result_of_body(const std::string& body) {
  const auto document = document_of_body(body, "a result");
  if (!document) return document.error();
  SetResult result;
  result.by = short_label(text_at(document.value(), "by").value_or(""));
  const json* answers = member(document.value(), "answers");
  for (const json& given : answers && answers->is_array() ? *answers : json::array()) {
    const bool fine = given.is_array() && given.size() == 2 && given[0].is_string() && given[1].is_number() &&
                      given[1].get<double>() >= 0 && given[1].get<double>() <= kLongestSeconds;
    if (!fine || result.answers.size() >= kMostQuestions) return bad_code("the answers are not readable", "a result");
    result.answers.push_back({given[0].get<std::string>().substr(0, kLongestAnswer), given[1].get<double>()});
  }
  return result;
}

/// "BODY.KEY.SIGNATURE"
Result<ReadResult> read_signed(const std::string& set_code, const std::string& text) {
  const std::size_t second = text.rfind('.'),
                    first = second == std::string::npos ? second : text.rfind('.', second - 1);
  const Error bad = bad_code("the signature of the result is not whole", "a result");
  if (first == std::string::npos || second == 0) return bad;
  const auto key = from_base64url(text.substr(first + 1, second - first - 1));
  const auto signature = from_base64url(text.substr(second + 1));
  if (!key || !signature || key->size() != kResultKeyBytes || signature->size() != kResultSignatureBytes) return bad;
  const std::string body = text.substr(0, first);
  auto result = result_of_body(body);
  if (!result) return result.error();
  result.value().key = *key;
  return ReadResult{std::move(result).value(), *signature, signed_bytes_of(set_code, body)};
}

}  // namespace

std::string bytes_to_sign(const std::string& set_code, const SetResult& result) {
  return signed_bytes_of(set_code, result_body(result));
}

std::string result_code(const std::string& set_code, const SetResult& result, const std::string& key,
                        const std::string& signature) {
  const std::string body = result_body(result);
  if (key.empty()) return checked_code(kUnsignedPrefix, body, set_code);
  return checked_code(kSignedPrefix, body + "." + base64url(key) + "." + base64url(signature), set_code);
}

Result<ReadResult> read_result_code(const std::string& set_code, const std::string& text) {
  const std::size_t letter = text.find_first_not_of(" \t\r\n");
  const bool is_signed = letter != std::string::npos && text.compare(letter, kSignedPrefix.size(), kSignedPrefix) == 0;
  const auto body = body_of_code(is_signed ? kSignedPrefix : kUnsignedPrefix, text, set_code, "a result");
  if (!body) return body.error();
  if (is_signed) return read_signed(set_code, body.value());
  auto result = result_of_body(body.value());
  if (!result) return result.error();
  return ReadResult{std::move(result).value(), "", ""};
}

bool result_begins(const std::string& text, std::size_t at) {
  return text.compare(at, kSignedPrefix.size(), kSignedPrefix) == 0 ||
         text.compare(at, kUnsignedPrefix.size(), kUnsignedPrefix) == 0;
}

}  // namespace intercusp
