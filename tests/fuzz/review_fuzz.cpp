// What the review server reads from anybody: addresses, headers, JSON bodies and frames; what a reader opens, and what
// the desktop program reads from a server.
#include <algorithm>

#include "require.h"
#include "review/inbox_seal.h"
#include "review/review_link.h"
#include "review/review_wire.h"
#include "review/sealing.h"
#include "serve/wire/frames.h"
#include "serve/wire/request.h"

namespace {

using namespace intercusp::serve;

/// The part up to the next line end, taken off.
std::string line_of(std::string_view& rest) {
  const auto end = std::min(rest.find('\n'), rest.size());
  const std::string line(rest.substr(0, end));
  rest.remove_prefix(std::min(rest.size(), end + 1));
  return line;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view all(reinterpret_cast<const char*>(data), size);
  std::string_view rest = all;
  const std::string method = line_of(rest), target = line_of(rest), token = line_of(rest), entry = line_of(rest);
  const ReviewRequest request = read_review_request(method, target, token, entry);
  FUZZ_REQUIRE(request.call != ReviewCall::put_piece || method == "PUT");
  FUZZ_REQUIRE(most_body_bytes(request.call) <= kMostPieceBytes);

  const std::string body(rest);
  const auto wish = read_folder_wish(body, 365);
  if (wish) FUZZ_REQUIRE(wish.value().days >= 1 && wish.value().days <= 365);
  const auto change = read_folder_change(body, 365);
  if (change && change.value().days) FUZZ_REQUIRE(*change.value().days >= 1 && *change.value().days <= 365);

  const auto graded = read_graded_wish(body, 365);
  if (graded) FUZZ_REQUIRE(graded.value().days >= 1 && graded.value().days <= 365);
  const auto asked = read_graded_ask(body);
  if (asked) FUZZ_REQUIRE(asked.value().at >= 0);

  const auto session = session_of_live(all);
  if (session) FUZZ_REQUIRE(all.substr(1, 16) == bytes_of(*session));
  const auto greeting = read_greeting(all);
  FUZZ_REQUIRE(greeting.has_value() == (size == 48 || size == 80));

  const auto link = intercusp::secrets::parse_review_link(std::string(all));
  if (link) {
    const std::string text = intercusp::secrets::review_link_text(link.value(), true);
    FUZZ_REQUIRE(text == all);
  }
  const auto log = intercusp::secrets::read_log(std::string(all));
  if (log) {
    std::string again;
    for (const auto& frame : log.value()) again += intercusp::secrets::log_bytes(frame);
    FUZZ_REQUIRE(again == all);
  }
  const auto told = intercusp::secrets::read_room_message(std::string(all));
  FUZZ_REQUIRE(!told || all.size() >= 17);
  const std::string key(32, 'k'), folder(22, 'A');
  FUZZ_REQUIRE(!intercusp::secrets::open(key, {intercusp::secrets::SealedAs::live, folder, ""}, std::string(all)).ok());
  // The point of the curve is whatever comes: it is refused or agreed with, and nothing opens.
  static const auto teacher = intercusp::secrets::fresh_agreement_key();
  FUZZ_REQUIRE(teacher.ok());
  const std::string result = std::string{1, 4} + std::string(all);
  FUZZ_REQUIRE(!intercusp::secrets::open_result(teacher.value(), {folder, std::string(16, 'i'), "set"}, result).ok());
  return 0;
}
