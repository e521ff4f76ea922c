#include "casebook/sheet_letters.h"

#include <cstdint>
#include <cstdio>
#include <utility>

namespace intercusp {

namespace {

using Code = std::uint32_t;

/// The next code point from `at` on, which moves behind it; 0xFFFD for bytes that are none.
Code next_code(const std::string& utf8, std::size_t& at) {
  const auto byte = [&](std::size_t i) { return static_cast<Code>(static_cast<unsigned char>(utf8[i])); };
  const Code lead = byte(at++);
  if (lead < 0x80) return lead;
  const std::size_t more = lead >= 0xF0 ? 3 : lead >= 0xE0 ? 2 : lead >= 0xC0 ? 1 : 0;
  if (more == 0 || at + more > utf8.size()) return 0xFFFD;
  Code code = lead & (0x3Fu >> more);
  for (std::size_t i = 0; i < more; ++i) {
    if ((byte(at) & 0xC0) != 0x80) return 0xFFFD;
    code = code << 6 | (byte(at++) & 0x3Fu);
  }
  return code;
}

/// What code page 1252 has between 0x80 and 0x9F; 0 for what it has not.
unsigned char between_of_1252(Code code) {
  static const std::pair<Code, unsigned char> kPlaces[] = {
      {0x20AC, 0x80}, {0x201A, 0x82}, {0x0192, 0x83}, {0x201E, 0x84}, {0x2026, 0x85}, {0x2020, 0x86}, {0x2021, 0x87},
      {0x02C6, 0x88}, {0x2030, 0x89}, {0x0160, 0x8A}, {0x2039, 0x8B}, {0x0152, 0x8C}, {0x017D, 0x8E}, {0x2018, 0x91},
      {0x2019, 0x92}, {0x201C, 0x93}, {0x201D, 0x94}, {0x2022, 0x95}, {0x2013, 0x96}, {0x2014, 0x97}, {0x02DC, 0x98},
      {0x2122, 0x99}, {0x0161, 0x9A}, {0x203A, 0x9B}, {0x0153, 0x9C}, {0x017E, 0x9E}, {0x0178, 0x9F}};
  for (const auto& [from, to] : kPlaces) {
    if (from == code) return to;
  }
  return 0;
}

/// The letter without its marks, from the tables of Latin letters of Europe and Vietnam; 0 for none.
char bare_latin(Code code) {
  static const char kFrom100[] =
      "AaAaAaCcCcCcCcDdDdEeEeEeEeEeGgGgGgGgHhHhIiIiIiIiIi??JjKkkLlLlLlLlLlNnNnNnnNnOoOoOo??RrRrRrSsSsSsSsTtTtTtUuUuUuUu"
      "UuUuWwYyYZzZzZzs";
  static const char kFrom1E00[] =
      "AaBbBbBbCcDdDdDdDdDdEeEeEeEeEeFfGgHhHhHhHhHhIiIiKkKkKkLlLlLlLlMmMmMmNnNnNnNnOoOoOoOoPpPpRrRrRrRrSsSsSsSsSsTtTtTt"
      "TtUuUuUuUuUuVvVvWwWwWwWwWwXxXxYyZzZzZzhtwyasss?dAaAaAaAaAaAaAaAaAaAaAaAaEeEeEeEeEeEeEeEeIiIiOoOoOoOoOoOoOoOoOoOo"
      "OoOoUuUuUuUuUuUuUuYyYyYyYy??VvYy";
  char found = 0;
  if (code >= 0x100 && code < 0x180) found = kFrom100[code - 0x100];
  if (code >= 0x1E00 && code < 0x1F00) found = kFrom1E00[code - 0x1E00];
  switch (code) {
    case 0x1A0:
      return 'O';
    case 0x1A1:
      return 'o';
    case 0x1AF:
      return 'U';
    case 0x1B0:
      return 'u';
    case 0x218:
      return 'S';
    case 0x219:
      return 's';
    case 0x21A:
      return 'T';
    case 0x21B:
      return 't';
    default:
      return found == '?' ? '\0' : found;
  }
}

/// Capital letters of Cyrillic and Greek from their first on, as passports write them; null for none.
const char* other_capital(Code code) {
  static const char* const kCyrillic[] = {"A",  "B",  "V",  "G",    "D",  "E", "Zh", "Z", "I",  "I", "K",
                                          "L",  "M",  "N",  "O",    "P",  "R", "S",  "T", "U",  "F", "Kh",
                                          "Ts", "Ch", "Sh", "Shch", "Ie", "Y", "'",  "E", "Iu", "Ia"};
  static const char* const kCyrillicBefore[] = {"E", "E",  "Dj", "G", "E", "Dz", "I", "I",
                                                "J", "Lj", "Nj", "C", "K", "I",  "U", "Dz"};
  static const char* const kGreek[] = {"A", "V", "G", "D", "E",     "Z", "I", "Th", "I", "K",  "L",  "M", "N",
                                       "X", "O", "P", "R", nullptr, "S", "T", "Y",  "F", "Ch", "Ps", "O"};
  if (code >= 0x400 && code < 0x410) return kCyrillicBefore[code - 0x400];
  if (code >= 0x410 && code < 0x430) return kCyrillic[code - 0x410];
  if (code == 0x490) return "G";
  if (code >= 0x391 && code < 0x3AA) return kGreek[code - 0x391];
  switch (code) {
    case 0x386:
      return "A";
    case 0x388:
      return "E";
    case 0x389:
    case 0x38A:
    case 0x3AA:
      return "I";
    case 0x38C:
    case 0x38F:
      return "O";
    case 0x38E:
    case 0x3AB:
      return "Y";
    default:
      return nullptr;
  }
}

/// The capital of a small letter of Cyrillic or Greek; the code itself otherwise.
Code capital_of(Code code) {
  if (code >= 0x430 && code < 0x450) return code - 0x20;
  if (code >= 0x450 && code < 0x460) return code - 0x50;
  if (code == 0x491) return 0x490;
  if (code == 0x3C2) return 0x3A3;
  if (code >= 0x3B1 && code < 0x3CC) return code - 0x20;
  switch (code) {
    case 0x3AC:
      return 0x386;
    case 0x3AD:
    case 0x3AE:
    case 0x3AF:
      return code - 0x25;
    case 0x3CC:
      return 0x38C;
    case 0x3CD:
    case 0x3CE:
      return code - 0x3F;
    default:
      return code;
  }
}

std::string other_letter(Code code) {
  const Code capital = capital_of(code);
  const char* letters = other_capital(capital);
  if (!letters) return {};
  std::string out = letters;
  for (char& c : out) {
    if (capital != code && c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return out;
}

/// What stands for a letter that the type does not have.
std::string stand_in(Code code) {
  if (code >= 0x300 && code < 0x370) return {};  // a mark upon the letter before it
  if (const char bare = bare_latin(code)) return std::string(1, bare);
  if (std::string other = other_letter(code); !other.empty()) return other;
  char number[16];
  std::snprintf(number, sizeof number, "[U+%04X]", static_cast<unsigned>(code));
  return number;
}

}  // namespace

std::string sheet_letters(const std::string& utf8, bool* changed) {
  std::string out;
  for (std::size_t at = 0; at < utf8.size();) {
    const Code code = next_code(utf8, at);
    if (code < 0x80) {
      out += code < 0x20 ? ' ' : static_cast<char>(code);
    } else if (code >= 0xA0 && code <= 0xFF) {
      out += static_cast<char>(code);
    } else if (const unsigned char place = between_of_1252(code)) {
      out += static_cast<char>(place);
    } else {
      out += stand_in(code);
      if (changed) *changed = true;
    }
  }
  return out;
}

}  // namespace intercusp
