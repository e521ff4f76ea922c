#include "review/entry.h"

#include <doctest/doctest.h>

#include "base/base64.h"
#include "review/bench.h"

using namespace intercusp;

namespace {
std::string first_body() {
  return test::Writer('a', "R. Falk").begin(1, test::case_to_share());
}
std::string changed(const char* key, const nlohmann::json& value) {
  auto fields = nlohmann::json::parse(first_body());
  fields[key] = value;
  return canonical_text(fields);
}
std::string trouble(const std::string& body) {
  const auto entry = parse_entry(body);
  return entry.ok() ? "" : entry.error().sentence();
}
}  // namespace

TEST_CASE("an entry is read as it was written") {
  const auto entry = parse_entry(first_body());
  REQUIRE(entry.ok());
  CHECK(entry.value().action == "begin");
  CHECK(entry.value().count == 1);
  CHECK(entry.value().clock == 1);
  CHECK(entry.value().name == "R. Falk");
  CHECK(entry.value().before.empty());
  CHECK(canonical_text(entry.value().fields) == first_body());
}

TEST_CASE("an entry that is not as the protocol says is refused in words") {
  CHECK(trouble(first_body() + " ").find("one form") != std::string::npos);
  CHECK(trouble(changed("id", "short")).find("16 bytes") != std::string::npos);
  CHECK(trouble(changed("author", 5)).find("author's key") != std::string::npos);
  CHECK(trouble(changed("change", nullptr)).find("change key") != std::string::npos);
  CHECK(trouble(changed("count", 0)).find("whole numbers") != std::string::npos);
  CHECK(trouble(changed("count", 2)).find("before it") != std::string::npos);
  CHECK(trouble(changed("clock", 1.5)).find("whole numbers") != std::string::npos);
  CHECK(trouble(changed("seen", 3)).find("seen") != std::string::npos);
  CHECK(trouble(changed("name", std::string(81, 'x'))).find("too long") != std::string::npos);
  CHECK(trouble(changed("do", "")).find("what was done") != std::string::npos);
  CHECK(trouble(changed("case", 1)).find("case") != std::string::npos);
  nlohmann::json body = {
      {"name", "upper_arch"}, {"pieces", nlohmann::json::array()}, {"length", 0}, {"sha256", std::string(64, '0')}};
  CHECK(trouble(changed("bodies", nlohmann::json::array({body}))).empty());
  body["coarse"] = {{"pieces", {"x"}}};
  CHECK(trouble(changed("bodies", nlohmann::json::array({body}))).find("pieces") != std::string::npos);
  CHECK(trouble("{").find("JSON") != std::string::npos);
  CHECK(trouble("[]").find("object") != std::string::npos);
  CHECK(trouble(std::string(kLongestEntry + 1, ' ')).find("larger") != std::string::npos);
}

TEST_CASE("the fields of each kind are checked") {
  test::Writer w('a', "R. Falk");
  w.begin(1, test::case_to_share());
  const auto refused = [&](nlohmann::json fields) {
    const std::string body = w.write(2, std::move(fields));
    return body.empty() || body[0] != '{';
  };
  CHECK(refused({{"do", "plan"}, {"plan", ""}, {"on", ""}, {"entries", nullptr}}));
  CHECK(refused({{"do", "plan"}, {"plan", "A"}, {"on", "x"}, {"entries", nullptr}}));
  CHECK(refused({{"do", "plan"}, {"plan", "A"}, {"on", ""}, {"entries", {{{"kind", "spin"}}}}}));
  CHECK(refused({{"do", "landmark"}, {"landmark", "nose"}, {"on", ""}, {"at", {0, 0, 0}}}));
  CHECK(refused({{"do", "landmark"}, {"landmark", "11.incisal_edge_mid"}, {"on", ""}, {"at", {0, 0}}}));
  CHECK(refused(
      {{"do", "landmark"}, {"landmark", "11.incisal_edge_mid"}, {"on", ""}, {"at", {0, 0, 0}}, {"confidence", 2}}));
  CHECK(refused({{"do", "frame"}, {"on", ""}, {"rows", {{2, 0, 0, 0}, {0, 2, 0, 0}, {0, 0, 2, 0}}}}));
  CHECK(refused({{"do", "remark"}, {"at", nlohmann::json::object()}, {"text", "look"}}));
  CHECK(refused({{"do", "remark"}, {"at", {{"measure", "overjet"}}}, {"text", ""}}));
  const auto with_picture = [](const std::string& bytes) {
    const nlohmann::json at = {{"measure", "overjet"}};
    return nlohmann::json{{"do", "remark"}, {"at", at}, {"text", "look"}, {"picture", base64url(bytes)}};
  };
  CHECK_FALSE(refused(with_picture("\xff\xd8\xff" + std::string(kLongestPicture - 3, 'x'))));
  CHECK(refused(with_picture("\xff\xd8\xff" + std::string(kLongestPicture - 2, 'x'))));
  CHECK(refused(with_picture("<svg onload=...>")));
  CHECK(refused({{"do", "remark"}, {"at", {{"measure", "overjet"}}}, {"text", "look"}, {"picture", 3}}));
  CHECK(refused({{"do", "reply"}, {"to", "nobody"}, {"text", "yes"}}));
  CHECK(refused({{"do", "resolve"}, {"to", test::id_of(1)}}));
  CHECK(refused({{"do", "agree"}, {"part", "lunch"}, {"plan", "A"}, {"on", ""}, {"digest", std::string(64, '0')}}));
  CHECK(refused({{"do", "agree"}, {"part", "movement"}, {"plan", "A"}, {"on", ""}, {"digest", "1"}}));
  CHECK(refused({{"do", "case"}, {"on", ""}, {"case_id", ""}}));
  CHECK_FALSE(refused({{"do", "something new"}}));
}
