#pragma once

#include <string>

#include "serve/http_answer.h"
#include "serve/site.h"

namespace intercusp {

/// What of a request matters for a static site.
struct SiteRequest {
  std::string method;           ///< as sent
  std::string target;           ///< as sent: origin-form or absolute-form (RFC 9112 3.2)
  std::string accept_encoding;  ///< header values, empty when absent
  std::string if_none_match;
};

/// Answers a request from the site. Every answer carries the headers that isolate the page from others.
HttpAnswer answer_for(const Site& site, const SiteRequest& request);

/// An error page as plain words, with the same headers.
HttpAnswer error_answer(unsigned status, const std::string& words);

/// Path of a request target, decoded, without the query; empty when it is malformed (bad escapes, no leading slash, a
/// NUL).
std::string decoded_path(const std::string& target);

/// The best stored form by Accept-Encoding (RFC 9110 12.5.3): br, then gzip, then as it is.
std::string chosen_coding(const SiteFile& file, const std::string& accept_encoding);

/// Whether an If-None-Match list names this tag, by weak comparison (RFC 9110 13.1.2).
bool names_tag(const std::string& if_none_match, const std::string& etag);

}  // namespace intercusp
