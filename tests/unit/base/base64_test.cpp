#include "base/base64.h"

#include <doctest/doctest.h>

using namespace intercusp;

// RFC 4648 section 10 test vectors, without padding.
TEST_CASE("base64url gives the vectors of RFC 4648") {
  const char* plain[] = {"", "f", "fo", "foo", "foob", "fooba", "foobar"};
  const char* coded[] = {"", "Zg", "Zm8", "Zm9v", "Zm9vYg", "Zm9vYmE", "Zm9vYmFy"};
  for (int i = 0; i < 7; ++i) {
    CHECK(base64url(plain[i]) == coded[i]);
    CHECK(from_base64url(coded[i]).value() == plain[i]);
  }
  CHECK(base64url("\xfb\xff") == "-_8");
}

TEST_CASE("text that is not base64url is refused") {
  CHECK_FALSE(from_base64url("Zg==").has_value());
  CHECK_FALSE(from_base64url("Z").has_value());
  CHECK_FALSE(from_base64url("a b").has_value());
}
