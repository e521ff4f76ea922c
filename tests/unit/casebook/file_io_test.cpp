#include <doctest/doctest.h>

#include <cstdio>
#include <string>

#include "casebook/case_file.h"

using namespace intercusp;

namespace {
std::vector<std::uint8_t> bytes_of(const std::string& text) {
  return {text.begin(), text.end()};
}
}  // namespace

TEST_CASE("a file is not overwritten unless asked") {
  const std::string path = "file_io_test.tmp";
  std::remove(path.c_str());
  REQUIRE(save_atomically(path, bytes_of("one"), false).ok());
  const Status second = save_atomically(path, bytes_of("two"), false);
  REQUIRE_FALSE(second.ok());
  CHECK(second.error().remedy.find("--force") != std::string::npos);
  CHECK(read_file(path).value() == bytes_of("one"));
  REQUIRE(save_atomically(path, bytes_of("two"), true).ok());
  CHECK(read_file(path).value() == bytes_of("two"));
  std::remove(path.c_str());
}

TEST_CASE("a file that cannot be written or read says why") {
  const Status nowhere = save_atomically("no-such-folder/x.glb", bytes_of("one"), false);
  REQUIRE_FALSE(nowhere.ok());
  CHECK(nowhere.error().where == "no-such-folder/x.glb");
  const auto missing = read_file("no-such-file.glb");
  REQUIRE_FALSE(missing.ok());
  CHECK(missing.error().sentence().find("cannot be opened") != std::string::npos);
  CHECK_FALSE(read_file(".").ok());
}
