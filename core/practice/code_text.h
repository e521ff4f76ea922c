// Sets and results as text that survives mail and chat: a prefix that says what it is, JSON in base64url, and a check
// sum.
#pragma once

#include <string>

#include <nlohmann/json_fwd.hpp>

#include "base/result.h"

namespace intercusp {

constexpr std::size_t kLongestCode = 64 * 1024;

/// base64url of the document, in one form for one content.
std::string code_body(const nlohmann::json& document);
/// "PREFIX" "BODY" "." check sum; the sum also covers `with`.
std::string checked_code(const std::string& prefix, const std::string& body, const std::string& with);

/// The body of a code of that prefix, white space left out. `which` names the code in errors: "the set". Error when it
/// is no such code, cut short, damaged, or was made with another `with`.
Result<std::string> body_of_code(const std::string& prefix, std::string code, const std::string& with,
                                 const std::string& which);
Result<nlohmann::json> document_of_body(const std::string& body, const std::string& which);

/// What is wrong with a code, and that it is to be copied again.
Error bad_code(const std::string& what, const std::string& which);
/// A label of at most 60 bytes of whole letters (UTF-8).
std::string short_label(const std::string& text);

}  // namespace intercusp
