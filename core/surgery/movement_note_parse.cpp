#include <array>
#include <cctype>

#include "surgery/movement_note.h"

namespace intercusp {
namespace {

using Words = std::vector<std::string>;

constexpr double kMostSaid = 90;  // mm or degrees

// Everything a note can say, each at most once.
struct Said {
  std::optional<double> forward, left, up_everywhere, up_incisors, up_molars, up_right, up_left, pitch, roll, yaw;
};

struct Form {
  const char* words;  // the phrase with # for the number
  std::optional<double> Said::*quantity;
  int sign;
};

constexpr Form kForms[] = {
    {"# mm forward", &Said::forward, 1},
    {"# mm back", &Said::forward, -1},
    {"# mm up", &Said::up_everywhere, 1},
    {"# mm down", &Said::up_everywhere, -1},
    {"# mm up at the incisors", &Said::up_incisors, 1},
    {"# mm down at the incisors", &Said::up_incisors, -1},
    {"# mm up at the molars", &Said::up_molars, 1},
    {"# mm down at the molars", &Said::up_molars, -1},
    {"# mm up at the right molar", &Said::up_right, 1},
    {"# mm down at the right molar", &Said::up_right, -1},
    {"# mm up at the left molar", &Said::up_left, 1},
    {"# mm down at the left molar", &Said::up_left, -1},
    {"midline # mm to the patient's left", &Said::left, 1},
    {"midline # mm to the patient's right", &Said::left, -1},
    {"# mm to the patient's left", &Said::left, 1},
    {"# mm to the patient's right", &Said::left, -1},
    {"turned # degrees to the patient's left", &Said::yaw, 1},
    {"turned # degrees to the patient's right", &Said::yaw, -1},
    {"yaw # degrees front to the patient's left", &Said::yaw, 1},
    {"yaw # degrees front to the patient's right", &Said::yaw, -1},
    {"pitch # degrees front up", &Said::pitch, 1},
    {"pitch # degrees front down", &Said::pitch, -1},
    {"roll # degrees left side down", &Said::roll, 1},
    {"roll # degrees left side up", &Said::roll, -1},
};

bool digit(char c) {
  return c >= '0' && c <= '9';
}

// "12", "1.5" or "1,5"; no sign, no exponent, at most 9 digits.
std::optional<double> number_of(const std::string& word) {
  double value = 0, scale = 1;
  bool fraction = false;
  int digits = 0;
  for (const char c : word) {
    if (digit(c) && ++digits <= 9) {
      value = value * 10 + (c - '0');
      if (fraction) scale *= 10;
    } else if ((c == '.' || c == ',') && !fraction && digits > 0) {
      fraction = true;
    } else {
      return std::nullopt;
    }
  }
  return digits > 0 ? std::optional<double>(value / scale) : std::nullopt;
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size())) {
    text.replace(at, from.size(), to);
  }
  return text;
}

Words words_of(const std::string& phrase) {
  Words words;
  std::string word;
  for (const char c : phrase + " ") {
    if (!std::isspace(static_cast<unsigned char>(c))) {
      word += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
      continue;
    }
    if (word == "deg" || word == "degree") word = "degrees";
    if (!word.empty()) words.push_back(word);
    word.clear();
  }
  return words;
}

// The phrases between commas (not those inside a number) and "and".
std::vector<std::string> phrases_of(const std::string& body) {
  std::string text = replaced(replaced(replaced(body, "\xE2\x80\x99", "'"), "\xC2\xB0", " degrees"), " and ", ", ");
  while (!text.empty() && (std::isspace(static_cast<unsigned char>(text.back())) || text.back() == '.'))
    text.pop_back();
  std::vector<std::string> phrases(1);
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool in_number = i > 0 && i + 1 < text.size() && digit(text[i - 1]) && digit(text[i + 1]);
    if (text[i] == ';' || (text[i] == ',' && !in_number)) {
      phrases.emplace_back();
    } else {
      phrases.back() += text[i];
    }
  }
  return phrases;
}

// The number in the phrase when it has the words of the form.
std::optional<double> match(const Words& phrase, const Words& form) {
  if (phrase.size() != form.size()) return std::nullopt;
  std::optional<double> number;
  for (std::size_t i = 0; i < form.size(); ++i) {
    if (form[i] == "#") {
      number = number_of(phrase[i]);
      if (!number) return std::nullopt;
    } else if (phrase[i] != form[i]) {
      return std::nullopt;
    }
  }
  return number;
}

Status read_phrase(const std::string& phrase, Said& said) {
  const Words words = words_of(phrase);
  if (words.empty() || words == Words{"no", "movement"}) return Done{};
  std::string quoted;
  for (const std::string& word : words) quoted += (quoted.empty() ? "" : " ") + word;
  for (const Form& form : kForms) {
    const std::optional<double> number = match(words, words_of(form.words));
    if (!number) continue;
    if (*number > kMostSaid) {
      return Error{"this is more than a jaw can move", "\"" + quoted + "\"", "check the number"};
    }
    std::optional<double>& quantity = said.*form.quantity;
    if (quantity) return Error{"the note says this twice", "\"" + quoted + "\"", "keep one of the two"};
    quantity = form.sign * *number;
    return Done{};
  }
  return Error{
      "this phrase is not understood", "\"" + quoted + "\"",
      "say it like \"2.0 mm up at the incisors\", \"midline 1.5 mm to the patient's right\" or \"turned 2.0 degrees to "
      "the patient's left\", without a sign"};
}

// A height may be said once for a place: at the place, at both molars, or everywhere.
Result<std::optional<double>> height(const std::array<std::optional<double>, 3>& ways, const char* where) {
  std::optional<double> found;
  for (const std::optional<double>& way : ways) {
    if (way && found) return Error{"the note gives two heights", where, "keep one of them"};
    if (way) found = way;
  }
  return found;
}

// Heights at the molars where they are placed; else, or where pitch or roll is said, the turns themselves.
Status read_heights(const Said& said, bool molars, MovementNote& note) {
  const Result<std::optional<double>> incisors = height({said.up_everywhere, said.up_incisors, {}}, "at the incisors");
  const Result<std::optional<double>> right =
      height({said.up_everywhere, said.up_molars, said.up_right}, "at the right molar");
  const Result<std::optional<double>> left =
      height({said.up_everywhere, said.up_molars, said.up_left}, "at the left molar");
  for (const auto* one : {&incisors, &right, &left}) {
    if (!one->ok()) return one->error();
  }
  note.targets.push_back({"incisors", {}, incisors.value().value_or(0), {}});
  const bool molar_said = said.up_molars || said.up_right || said.up_left;
  if (molar_said && !molars) {
    return Error{"the note speaks of molars that are not placed", "movement note",
                 "place the mesiobuccal cusps of both first molars, or say pitch and roll instead"};
  }
  if (!molars || ((said.pitch || said.roll) && !molar_said)) {
    note.fixed.pitch_deg = said.pitch.value_or(0);
    note.fixed.roll_deg = said.roll.value_or(0);
    return Done{};
  }
  note.fixed.pitch_deg = said.pitch;
  note.fixed.roll_deg = said.roll;
  const bool turns = said.pitch || said.roll;
  if (right.value() || !turns) note.targets.push_back({"molar_right", {}, right.value().value_or(0), {}});
  if (left.value() || !turns) note.targets.push_back({"molar_left", {}, left.value().value_or(0), {}});
  return Done{};
}

}  // namespace

Result<MovementNote> parse_movement_note(const std::string& text, const PointMap& before) {
  if (!before.count("incisors")) {
    return Error{"a note needs the central incisors", "movement note",
                 "place incisal_edge_mid of both central incisors"};
  }
  MovementNote note;
  const std::size_t colon = text.find(':');
  if (colon != std::string::npos) note.segment_word = text.substr(0, colon);
  Said said;
  for (const std::string& phrase : phrases_of(colon == std::string::npos ? text : text.substr(colon + 1))) {
    const Status read = read_phrase(phrase, said);
    if (!read) return read.error();
  }
  const bool molars = before.count("molar_right") && before.count("molar_left");
  const Status heights = read_heights(said, molars, note);
  if (!heights) return heights.error();
  note.targets[0].forward_mm = said.forward.value_or(0);
  note.targets[0].left_mm = said.left.value_or(0);
  note.fixed.yaw_deg = said.yaw.value_or(0);
  return note;
}

}  // namespace intercusp
