// What the server reads off the wire, without a wire.
#include <doctest/doctest.h>

#include "base/base64.h"
#include "serve/wire/frames.h"
#include "serve/wire/request.h"

namespace intercusp::serve {
namespace {

const std::string kFolderText = base64url(std::string(16, 'f')), kPieceText = base64url(std::string(32, 'p'));
const std::string kCase = "/review/folders/" + kFolderText;

ReviewCall call(const std::string& method, const std::string& target) {
  return read_review_request(method, target, "", "").call;
}

TEST_CASE("addresses of the review server") {
  CHECK(is_review_address("/review"));
  CHECK(is_review_address("/review/x"));
  CHECK(is_review_address("/review?x"));
  CHECK_FALSE(is_review_address("/reviews"));
  CHECK_FALSE(is_review_address("/"));
  CHECK(call("POST", "/review/folders") == ReviewCall::make_folder);
  CHECK(call("GET", kCase) == ReviewCall::look);
  CHECK(call("PATCH", kCase) == ReviewCall::change);
  CHECK(call("DELETE", kCase) == ReviewCall::erase);
  CHECK(call("HEAD", kCase + "/pieces/" + kPieceText) == ReviewCall::has_piece);
  CHECK(call("GET", kCase + "/pieces/" + kPieceText) == ReviewCall::get_piece);
  CHECK(call("PUT", kCase + "/pieces/" + kPieceText) == ReviewCall::put_piece);
  CHECK(call("POST", kCase + "/log") == ReviewCall::append);
  CHECK(call("GET", kCase + "/room") == ReviewCall::room);
  CHECK(call("GET", kCase + "/pieces/..%2f..") == ReviewCall::malformed);
  CHECK(call("GET", "/review/folders/" + kFolderText.substr(0, 21) + "x") == ReviewCall::malformed);  // spare bits
  CHECK(call("GET", kCase + "/log/more") == ReviewCall::no_such_address);
  CHECK(call("PUT", kCase) == ReviewCall::wrong_method);
  const ReviewRequest log = read_review_request("GET", kCase + "/log?after=12", "Bearer " + kPieceText, "");
  CHECK(log.call == ReviewCall::read_log);
  CHECK(log.after == 12);
  REQUIRE(log.token.has_value());
  CHECK(bytes_of(*log.token) == std::string(32, 'p'));
  CHECK(bytes_of(log.folder) == std::string(16, 'f'));
}

TEST_CASE("addresses and bodies of graded sets") {
  CHECK(call("POST", "/review/graded") == ReviewCall::make_graded);
  CHECK(call("POST", "/review/graded/question") == ReviewCall::graded_question);
  CHECK(call("GET", "/review/graded") == ReviewCall::wrong_method);
  CHECK(call("POST", "/review/graded/answer") == ReviewCall::no_such_address);
  CHECK(call("POST", "/review/graded/question/1") == ReviewCall::no_such_address);
  CHECK(most_body_bytes(ReviewCall::graded_question) > 0);

  const auto wish = read_graded_wish(R"({"set":"set1-x","days":30})", 365);
  REQUIRE(wish.ok());
  CHECK(wish.value().set == "set1-x");
  CHECK(wish.value().days == 30);
  for (const char* bad : {"", "{}", R"({"set":"x"})", R"({"set":1,"days":3})", R"({"set":"x","days":366})"})
    CHECK_FALSE(read_graded_wish(bad, 365).ok());
  const auto ask = read_graded_ask(R"({"sealed":"abc","at":0})");
  REQUIRE(ask.ok());
  CHECK(ask.value().sealed == "abc");
  CHECK(ask.value().at == 0);
  for (const char* bad : {"[]", R"({"sealed":"x"})", R"({"sealed":"x","at":-1})", R"({"sealed":"x","at":1.5})"})
    CHECK_FALSE(read_graded_ask(bad).ok());
}

TEST_CASE("frames of log and room") {
  EntryId id;
  id.fill('i');
  std::string log;
  append_log_frame(log, 0x0102, id, "sealed");
  CHECK(log == std::string("\0\0\0\0\0\0\1\2", 8) + std::string(16, 'i') + std::string("\0\0\0\6", 4) + "sealed");
  CHECK(entry_frame(3, id, "s") == std::string("\2\0\0\0\0\0\0\0\3", 9) + std::string(16, 'i') + "s");
  CHECK(left_frame(id) == "\3" + std::string(16, 'i'));
  const std::string sealed = std::string("\1\3", 2) + std::string(28, 'x');
  CHECK(session_of_live("\1" + std::string(16, 'i') + sealed) == id);
  CHECK_FALSE(session_of_live("\2" + std::string(16, 'i') + sealed).has_value());
  CHECK_FALSE(session_of_live("\1" + std::string(16, 'i') + sealed.substr(0, 29)).has_value());
  CHECK_FALSE(session_of_live("\1" + std::string(16, 'i') + sealed + std::string(65536, 'x')).has_value());
  CHECK(read_greeting(std::string(48, 'g'))->write == std::nullopt);
  CHECK(read_greeting(std::string(80, 'g'))->write.has_value());
  CHECK_FALSE(read_greeting(std::string(64, 'g')).has_value());
}

}  // namespace
}  // namespace intercusp::serve
