// An entry of a shared case from outside: whatever it holds, it is read or refused; what was read is the same text
// again, and folding it with an honest beginning never stops the program.
#include "require.h"
#include "review/agreed.h"
#include "review/local_changes.h"

namespace {

const std::string kBegin = [] {
  const std::string key(43, 'A');
  return std::string(R"({"author":")") + key +
         R"(","before":"","bodies":[],"case":{"case_id":"f","patient_from_scans":)" +
         R"([[1,0,0,0],[0,1,0,0],[0,0,1,0]],"version":1},"change":")" + key +
         R"(","clock":1,"count":1,"do":"begin","id":"AAAAAAAAAAAAAAAAAAAAAA","name":"","role":"","seen":{},"time":0})";
}();

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string body(reinterpret_cast<const char*>(data), size);
  const auto entry = intercusp::parse_entry(body);
  if (!entry.ok()) return 0;
  FUZZ_REQUIRE(intercusp::canonical_text(entry.value().fields) == body);
  intercusp::SharedCase shared;
  FUZZ_REQUIRE(shared.take(kBegin).ok());
  FUZZ_REQUIRE(shared.take(body).ok());
  for (const intercusp::Plan& plan : shared.now().plans) (void)intercusp::agreements_on(shared, plan.name);
  FUZZ_REQUIRE(intercusp::local_changes(shared, shared.now()).empty());
  FUZZ_REQUIRE(!shared.canonical().empty());
  return 0;
}
