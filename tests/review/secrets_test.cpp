// The review's secrets against published vectors, and what must not open.
#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>

#include <fstream>

#include <nlohmann/json.hpp>

#include "base/base64.h"
#include "base/fingerprint.h"
#include "review/crypto.h"
#include "review/inbox_seal.h"
#include "review/key_agreement.h"
#include "review/review_link.h"
#include "review/sealing.h"

namespace intercusp::secrets {
namespace {

std::string from_hex(const std::string& hex) {
  std::string bytes;
  for (std::size_t i = 0; i + 1 < hex.size(); i += 2) {
    bytes += static_cast<char>(std::stoi(hex.substr(i, 2), nullptr, 16));
  }
  return bytes;
}

std::string to_hex(const std::string& bytes) {
  static const char digits[] = "0123456789abcdef";
  std::string hex;
  for (const unsigned char byte : bytes) hex += {digits[byte >> 4], digits[byte & 15]};
  return hex;
}

std::string counting(int first, int last) {
  std::string bytes;
  for (int i = first; i <= last; ++i) bytes += static_cast<char>(i);
  return bytes;
}

const std::string kFolder = "AAECAwQFBgcICQoLDA0ODw";

ReviewKeys some_keys() {
  return review_keys(counting(0, 31)).value();
}

std::string refusal(const Result<std::string>& opened) {
  return opened ? std::string() : opened.error().sentence();
}

TEST_CASE("HKDF-SHA256: RFC 5869 appendix A.1 to A.3") {
  const std::string input(22, 0x0b);
  CHECK(to_hex(hkdf_sha256(input, counting(0, 12), counting(0xf0, 0xf9), 42).value()) ==
        "3cb25f25faacd57a90434f64d0362f2a2d2d0a90cf1a5a4c5db02d56ecc4c5bf34007208d5b887185865");
  CHECK(to_hex(hkdf_sha256(counting(0, 0x4f), counting(0x60, 0xaf), counting(0xb0, 0xff), 82).value()) ==
        "b11e398dc80327a1c8e7f78c596a49344f012eda2d4efad8a050cc4c19afa97c59045a99cac7827271cb41c65e590e09"
        "da3275600c2f09b8367793a9aca3db71cc30c58179ec3e87c14c01d5c1f3434f1d87");
  CHECK(to_hex(hkdf_sha256(input, "", "", 42).value()) ==
        "8da4e775a563c18f715f802a063c5a31b8a11f5c5ee1879ec3454e5f3c738d2d9d201395faa4b61a96c8");
  CHECK_FALSE(hkdf_sha256(input, "", "", 8161).ok());  // 255 times the digest at most, RFC 5869 2.3
  CHECK_FALSE(hkdf_sha256(input, "", "", 0).ok());
}

TEST_CASE("HMAC-SHA256 and SHA-256: RFC 4231 4.3, FIPS 180-4 example") {
  CHECK(to_hex(hmac_sha256("Jefe", "what do ya want for nothing?")) ==
        "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843");
  CHECK(to_hex(sha256("abc")) == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

TEST_CASE("Ed25519: RFC 8032 section 7.1, tests 1 to 3") {
  struct Vector {
    const char *seed, *half, *message, *signature;
  };
  const Vector vectors[] = {
      {"9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
       "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a", "",
       "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe"
       "24655141438e7a100b"},
      {"4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
       "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c", "72",
       "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302a"
       "eeb00d291612bb0c00"},
      {"c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
       "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025", "af82",
       "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed2"
       "8dc027beceea1ec40a"}};
  for (const Vector& vector : vectors) {
    const std::string seed = from_hex(vector.seed), message = from_hex(vector.message);
    CHECK(to_hex(ed25519_public(seed).value()) == vector.half);
    const std::string signature = ed25519_sign(seed, message).value();
    CHECK(to_hex(signature) == vector.signature);
    CHECK(ed25519_verify(from_hex(vector.half), message, signature));
    CHECK_FALSE(ed25519_verify(from_hex(vector.half), message + "x", signature));
    for (std::size_t bit = 0; bit < signature.size() * 8; bit += 7) {
      std::string other = signature;
      other[bit / 8] = static_cast<char>(other[bit / 8] ^ 1 << bit % 8);
      CHECK_FALSE(ed25519_verify(from_hex(vector.half), message, other));
    }
  }
  CHECK_FALSE(ed25519_verify("", "", ""));
  CHECK_FALSE(ed25519_sign("short", "x").ok());
}

TEST_CASE("AES-256-GCM: test cases 13, 14 and 16 of McGrew and Viega's specification, which NIST SP 800-38D adopted") {
  const std::string zeros(32, '\0'), nonce(12, '\0');
  CHECK(to_hex(aes_gcm_seal(zeros, nonce, "", "").value()) == "530f8afbc74536b9a963b4f1c4cb738b");
  CHECK(to_hex(aes_gcm_seal(zeros, nonce, "", std::string(16, '\0')).value()) ==
        "cea7403d4d606b6e074ec5d3baf39d18d0d1c8a799996bf0265b98b5d48ab919");
  const std::string key = from_hex("feffe9928665731c6d6a8f9467308308feffe9928665731c6d6a8f9467308308");
  const std::string plain = from_hex(
      "d9313225f88406e5a55909c5aff5269a86a7a9531534f7da2e4c303d8a318a721c3c0c95956809532fcf0e2449a6b525b16aedf5aa0de657"
      "ba637b39");
  const std::string bound = from_hex("feedfacedeadbeeffeedfacedeadbeefabaddad2");
  const std::string iv = from_hex("cafebabefacedbaddecaf888");
  const std::string sealed = aes_gcm_seal(key, iv, bound, plain).value();
  CHECK(
      to_hex(sealed) ==
      "522dc1f099567d07f47f37a32a84427d643a8cdcbfe5c0c97598a2bd2555d1aa8cb08e48590dbb3da7b08b1056828838c5f61e6393ba7a0a"
      "bcc9f66276fc6ece0f4e1768cddf8853bb2d551b");
  CHECK(aes_gcm_open(key, iv, bound, sealed).value() == plain);
  CHECK_FALSE(aes_gcm_open(key, iv, bound + "x", sealed).ok());
  CHECK_FALSE(aes_gcm_open(key, iv, bound, sealed.substr(0, 15)).ok());
  CHECK_FALSE(aes_gcm_seal("short", iv, bound, plain).ok());
}

TEST_CASE("a link carries its keys and nothing else; a change link can do what a view link can") {
  const std::string change_public = ed25519_public(counting(32, 63)).value();
  ReviewLink link{"https://clinic.example:8443/", kFolder, counting(0, 31), counting(32, 63), check_of(change_public)};
  const std::string view = review_link_text(link, false), change = review_link_text(link, true);
  const std::string keyless =
      "https://clinic.example:8443/#review=1." + kFolder + ".AAECAwQFBgcICQoLDA0ODxAREhMUFRYXGBkaGxwdHh8";
  CHECK(view == keyless + "." + base64url(sha256(change_public).substr(0, 16)));
  CHECK(change == keyless + ".ICEiIyQlJicoKSorLC0uLzAxMjM0NTY3ODk6Ozw9Pj8");
  CHECK(parse_review_link(keyless).value().check.empty());
  const ReviewLink read = parse_review_link(change).value();
  CHECK(read.server == link.server);
  CHECK(read.folder == kFolder);
  CHECK(read.view_key == link.view_key);
  CHECK(read.change_seed == link.change_seed);
  CHECK(read.check == link.check);
  CHECK(parse_review_link(view).value().check == link.check);
  CHECK_FALSE(parse_review_link(view).value().change_seed.has_value());
  const ReviewKeys keys = review_keys(link.view_key).value();
  CHECK(keys.seal_key != keys.name_key);
  CHECK(keys.seal_key != keys.read_token);
  CHECK(change_keys(counting(0, 31)).value().write_token != keys.read_token);
  CHECK(own_token(counting(0, 31)).value() != keys.read_token);
}

TEST_CASE("links that are cut, changed or of another version are refused in words") {
  const std::string whole = review_link_text({"http://h/", kFolder, counting(0, 31), counting(32, 63), ""}, true);
  for (std::size_t size = 0; size < whole.size(); ++size) {
    const auto read = parse_review_link(whole.substr(0, size));
    // Without its end it is a view link; cut to the length of a check it is one that trusts another key, and opens
    // nothing.
    const bool is_view_link = size == whole.size() - 44 || size == whole.size() - 21;
    CHECK_MESSAGE((!read.ok() || (is_view_link && !read.value().change_seed)), size);
    if (!read) CHECK(read.error().sentence().size() > 10);
  }
  for (const std::string& bad :
       {whole + "x", whole + ".x", whole + "=", std::string("http://h/#recipe=abc"),
        "http://h/#review=2." + kFolder + ".A", "http://h/#review=1." + kFolder + "B." + "A"}) {
    CHECK_FALSE(parse_review_link(bad).ok());
  }
  std::string other_spelling = whole;
  other_spelling.back() = '9';  // the same bytes, were the spare bits overlooked
  CHECK_FALSE(parse_review_link(other_spelling).ok());
}

TEST_CASE("what is sealed opens in its own place alone") {
  const std::string key = some_keys().seal_key;
  const SealedPlace place{SealedAs::entry, kFolder, counting(0, 15)};
  for (const std::string& plain : {std::string(), std::string("a remark on 16"), std::string(100000, 'x')}) {
    const std::string sealed = seal(key, place, plain).value();
    CHECK(sealed.size() == plain.size() + 30);
    CHECK(sealed.find(plain) == (plain.empty() ? 0 : std::string::npos));
    CHECK(open(key, place, sealed).value() == plain);
    CHECK(seal(key, place, plain).value() != sealed);  // a fresh nonce
  }
  const std::string sealed = seal(key, place, "a remark on 16").value();
  const std::string other_key = review_keys(counting(1, 32)).value().seal_key;
  const std::string swapped[] = {
      refusal(open(key, {SealedAs::entry, kFolder, counting(1, 16)}, sealed)),
      refusal(open(key, {SealedAs::entry, "BAECAwQFBgcICQoLDA0ODw", counting(0, 15)}, sealed)),
      refusal(open(other_key, place, sealed))};
  for (const std::string& words : swapped) CHECK(words.find("another place") != std::string::npos);
  CHECK(refusal(open(key, {SealedAs::live, kFolder, counting(0, 15)}, sealed)).find("another purpose") !=
        std::string::npos);
  for (std::size_t size = 0; size < sealed.size(); ++size) CHECK_FALSE(open(key, place, sealed.substr(0, size)).ok());
  CHECK(refusal(open(key, place, sealed.substr(0, 29))).find("cut short") != std::string::npos);
  for (std::size_t bit = 0; bit < sealed.size() * 8; ++bit) {
    std::string changed = sealed;
    changed[bit / 8] = static_cast<char>(changed[bit / 8] ^ 1 << bit % 8);
    const std::string words = refusal(open(key, place, changed));
    CHECK(words.size() > 20);
  }
}

TEST_CASE("the purpose is bound in, not only written in front") {
  const std::string key = some_keys().seal_key, id = counting(0, 15);
  std::string sealed = seal(key, {SealedAs::entry, kFolder, id}, "x").value();
  sealed[1] = static_cast<char>(SealedAs::live);
  CHECK_FALSE(open(key, {SealedAs::live, kFolder, id}, sealed).ok());
}

TEST_CASE("a piece is what its name says") {
  const ReviewKeys keys = some_keys();
  const std::string plain = "v 1 2 3", name = piece_name(keys.name_key, plain);
  CHECK(name == piece_name(keys.name_key, plain));
  CHECK(name.size() == 43);
  CHECK(name != piece_name(review_keys(counting(1, 32)).value().name_key, plain));  // says nothing across cases
  const std::string sealed = seal(keys.seal_key, {SealedAs::piece, kFolder, name}, plain).value();
  CHECK(open_piece(keys, kFolder, name, sealed).value() == plain);
  const std::string other = piece_name(keys.name_key, "v 1 2 4");
  CHECK_FALSE(open_piece(keys, kFolder, other, sealed).ok());
  const std::string lying = seal(keys.seal_key, {SealedAs::piece, kFolder, other}, plain).value();
  CHECK(refusal(open_piece(keys, kFolder, other, lying)).find("its name says") != std::string::npos);
}

TEST_CASE("an entry counts when both keys signed it for this folder") {
  const std::string change = counting(0, 31), author = counting(32, 63), body = R"({"do":"plan"})";
  const std::string change_public = ed25519_public(change).value(), author_public = ed25519_public(author).value();
  const std::string entry = sign_entry(kFolder, body, change, author).value();
  CHECK(body_of_entry(kFolder, entry, change_public, author_public).value() == body);
  // Whoever has the view link alone signs with a key of their own.
  const std::string viewer = sign_entry(kFolder, body, author, author).value();
  CHECK(refusal(body_of_entry(kFolder, viewer, change_public, author_public)).find("link for changing") !=
        std::string::npos);
  const std::string posing = sign_entry(kFolder, body, change, change).value();
  CHECK(refusal(body_of_entry(kFolder, posing, change_public, author_public)).find("person") != std::string::npos);
  CHECK_FALSE(body_of_entry("BAECAwQFBgcICQoLDA0ODw", entry, change_public, author_public).ok());
  CHECK_FALSE(body_of_entry(kFolder, entry + " ", change_public, author_public).ok());
  CHECK_FALSE(body_of_entry(kFolder, entry.substr(0, 127), change_public, author_public).ok());
  const std::string swapped = entry.substr(64, 64) + entry.substr(0, 64) + body;
  CHECK_FALSE(body_of_entry(kFolder, swapped, change_public, author_public).ok());
}

TEST_CASE("a live message that moves something is signed, is no entry, and comes once") {
  const std::string change = counting(0, 31), body = R"({"count":7,"pose":[]})";
  const std::string half = ed25519_public(change).value(), message = sign_live(kFolder, body, change).value();
  CHECK(read_live(kFolder, message, half).value().body == body);
  CHECK(read_live(kFolder, message, half).value().is_signed);
  const std::string looking = sign_live(kFolder, body, "").value();
  CHECK_FALSE(read_live(kFolder, looking, half).value().is_signed);
  CHECK_FALSE(read_live(kFolder, message + " ", half).ok());
  CHECK_FALSE(read_live("BAECAwQFBgcICQoLDA0ODw", message, half).ok());
  CHECK_FALSE(read_live(kFolder, message.substr(0, 63), half).ok());
  CHECK_FALSE(read_live(kFolder, sign_live(kFolder, body, counting(1, 32)).value(), half).ok());
  CHECK_FALSE(body_of_entry(kFolder, message.substr(0, 64) + message, half, half).ok());
  LiveCounters counters;
  CHECK(counters.take("one", 7).ok());
  CHECK(counters.take("two", 7).ok());
  CHECK(counters.take("one", 9).ok());
  for (const std::uint64_t late : {0, 7, 8, 9}) {
    const Status again = counters.take("one", late);
    REQUIRE_FALSE(again.ok());
    CHECK(again.error().sentence().find("second time") != std::string::npos);
  }
  counters.forget("one");
  CHECK(counters.take("one", 1).ok());
}

TEST_CASE("what the page and this program make of the same secrets is the same: tests/review/vectors.json") {
  std::ifstream in(std::string(INTERCUSP_SOURCE_DIR) + "/tests/review/vectors.json");
  const nlohmann::json vectors = nlohmann::json::parse(in);
  const auto bytes = [&](const char* at) { return from_hex(vectors.at(nlohmann::json::json_pointer(at))); };
  const auto text = [&](const char* at) { return vectors.at(nlohmann::json::json_pointer(at)).get<std::string>(); };
  const ReviewKeys keys = review_keys(bytes("/view")).value();
  const ChangeKeys change = change_keys(bytes("/change")).value();
  CHECK(keys.seal_key == bytes("/keys/seal"));
  CHECK(keys.name_key == bytes("/keys/name"));
  CHECK(keys.read_token == bytes("/keys/read"));
  CHECK(change.write_token == bytes("/keys/write"));
  CHECK(own_token(bytes("/own")).value() == bytes("/keys/own"));
  CHECK(change.public_key == bytes("/change_public"));
  CHECK(ed25519_public(bytes("/person")).value() == bytes("/author_public"));
  CHECK(fingerprint_of(bytes("/author_public")) == text("/author_fingerprint"));

  const std::string folder = text("/folder");
  const ReviewLink link = parse_review_link("http://h/#" + text("/links/change")).value();
  CHECK(link.change_seed == bytes("/change"));
  CHECK(review_link_text(link, true) == "http://h/#" + text("/links/change"));
  CHECK(review_link_text(link, false) == "http://h/#" + text("/links/view"));
  CHECK(parse_review_link("http://h/#" + text("/links/view")).value().check == link.check);

  CHECK(piece_name(keys.name_key, bytes("/piece/plain")) == text("/piece/name_b64"));
  CHECK(open_piece(keys, folder, text("/piece/name_b64"), bytes("/piece/sealed")).value() == bytes("/piece/plain"));
  const std::string entry =
      open(keys.seal_key, {SealedAs::entry, folder, bytes("/entry/id")}, bytes("/entry/sealed")).value();
  CHECK(entry == bytes("/entry/plain"));
  CHECK(entry == sign_entry(folder, text("/entry/body_text"), bytes("/change"), bytes("/person")).value());
  CHECK(body_of_entry(folder, entry, change.public_key, bytes("/author_public")).value() == text("/entry/body_text"));
  const std::string live =
      open(keys.seal_key, {SealedAs::live, folder, bytes("/live/session")}, bytes("/live/sealed")).value();
  CHECK(live == sign_live(folder, text("/live/body_text"), bytes("/change")).value());
  CHECK(read_live(folder, live, change.public_key).value().body == text("/live/body_text"));

  const AgreementKey teacher{bytes("/inbox/secret"), bytes("/inbox/point")};
  CHECK(open_result(teacher, {folder, bytes("/inbox/id"), text("/inbox/set_text")}, bytes("/inbox/sealed")).value() ==
        text("/inbox/plain_text"));
}

// NIST CAVP, SP 800-56A ECC CDH primitive, P-256, count 0; the numbers from memory, and OpenSSL makes the same of them.
TEST_CASE("two who hold one half each agree on the published common secret") {
  const AgreementKey mine{from_hex("7d7dc5f71eb29ddaf80d6214632eeae03d9058af1fb6d22ed80badb62bc1a534"),
                          from_hex("04ead218590119e8876b29146ff89ca61770c4edbbf97d38ce385ed281d8a6b230"
                                   "28af61281fd35e2fa7002523acc85a429cb06ee6648325389f59edfce1405141")};
  std::string other = from_hex(
      "04700c48f77f56584c5cc632ca65640db91b6bacce3a4df6b42ce7cc838833d287"
      "db71e509e3fd9b060ddb20ba5c51dcc5948d46fbf640dfe0441782cab85fa4ac");
  CHECK(agree(mine, other).value() == from_hex("46fc62106420ff012e54a434fbdd2d25ccc5852060561e68040dd7778997bd7b"));
  other.back() = static_cast<char>(other.back() ^ 1);  // no point of the curve
  CHECK_FALSE(agree(mine, other).ok());
  CHECK_FALSE(agree(mine, other.substr(1)).ok());
  CHECK_FALSE(agree(mine, "").ok());
  const AgreementKey a = fresh_agreement_key().value(), b = fresh_agreement_key().value();
  CHECK(a.secret != b.secret);
  CHECK(agree(a, b.point).value() == agree(b, a.point).value());
}

TEST_CASE("a result sealed to a teacher opens for that teacher, in its place, and whole") {
  const AgreementKey teacher = fresh_agreement_key().value(), other = fresh_agreement_key().value();
  const InboxPlace place{"AAECAwQFBgcICQoLDA0ODw", std::string(16, 'i'), "set1-a.0"};
  const std::string sealed = seal_result(teacher.point, place, "res2-x").value();
  CHECK(open_result(teacher, place, sealed).value() == "res2-x");
  CHECK(seal_result(teacher.point, place, "res2-x").value() != sealed);
  CHECK_FALSE(open_result(other, place, sealed).ok());
  CHECK_FALSE(open_result(teacher, {"BAECAwQFBgcICQoLDA0ODw", place.entry_id, place.set_code}, sealed).ok());
  CHECK_FALSE(open_result(teacher, {place.folder, std::string(16, 'j'), place.set_code}, sealed).ok());
  CHECK_FALSE(open_result(teacher, {place.folder, place.entry_id, "set1-b.0"}, sealed).ok());
  for (std::size_t bit = 0; bit < 8 * sealed.size(); ++bit) {
    std::string altered = sealed;
    altered[bit / 8] = static_cast<char>(altered[bit / 8] ^ (1 << bit % 8));
    CHECK_FALSE(open_result(teacher, place, altered).ok());
  }
  for (std::size_t size = 0; size < sealed.size(); ++size)
    CHECK_FALSE(open_result(teacher, place, sealed.substr(0, size)).ok());
  CHECK_FALSE(seal_result(std::string(65, '\4'), place, "res2-x").ok());
}

TEST_CASE("a fingerprint is the start of SHA-256 in groups of four") {
  CHECK(fingerprint_of("abc") == "ba78 16bf 8f01 cfea 4141");  // FIPS 180-4 example
}

}  // namespace
}  // namespace intercusp::secrets
