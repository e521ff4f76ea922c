#pragma once

#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace intercusp {

/// What goes back for a request, from the site or from the review server.
struct HttpAnswer {
  /// Gets the next part of the body: an empty one is the end, none means that it cannot go on.
  using TakePart = std::function<void(std::optional<std::string>)>;

  unsigned status = 200;
  std::vector<std::pair<std::string, std::string>> headers;
  std::string text;                       ///< the body, or its first part where `more` follows
  const std::string* borrowed = nullptr;  ///< the body instead; belongs to the Site
  bool sends_body = true;                 ///< false for HEAD, 204 and 304
  bool has_length = true;                 ///< false: no Content-Length (204, or not known)
  bool is_miss = false;                   ///< somebody asked for what a link of theirs does not open
  std::function<void(TakePart)> more;     ///< asks for the next part; empty when `text` is all

  const std::string& body() const { return borrowed ? *borrowed : text; }
};

/// The headers that isolate the page from others, which stand on every answer.
void add_shared_headers(HttpAnswer& answer);

}  // namespace intercusp
