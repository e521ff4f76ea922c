#include "base/sha256.h"

#include <doctest/doctest.h>

using namespace intercusp;

// NIST FIPS 180-4 example messages ("abc" and the 448-bit message), from memory; the empty message and a million 'a'
// are the usual further vectors.
TEST_CASE("SHA-256 gives the published digests") {
  CHECK(sha256_hex("abc", 3) == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(sha256_hex("", 0) == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  const std::string two = "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq";
  CHECK(sha256_hex(two.data(), two.size()) == "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  const std::string million(1000000, 'a');
  CHECK(sha256_hex(million.data(), million.size()) ==
        "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST_CASE("SHA-256 does not depend on how the message is cut into pieces") {
  const std::string text(1000, 'x');
  for (const std::size_t step : {1u, 7u, 63u, 64u, 65u, 300u}) {
    Sha256 sha;
    for (std::size_t i = 0; i < text.size(); i += step) sha.add(text.data() + i, std::min(step, text.size() - i));
    CHECK(sha.hex() == sha256_hex(text.data(), text.size()));
  }
}
