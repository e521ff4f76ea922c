// What practice asks about. Each kind is a skill with a level of its own.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace intercusp {

enum class QuestionKind {
  molar_relation,
  canine_relation,
  angle_class,
  division,
  subdivision,
  overjet,
  overbite,
  open_bite,
  crossbite,
  midline,
  crowding,
  tooth_size,
  curve_of_spee,
  skeletal,
  notation,
  landmark,
  correction,
  interference,
  sheet
};
constexpr int kQuestionKinds = 19;

/// How a question is answered.
enum class AnswerForm { choice, number, tooth, teeth, point };
constexpr int kAnswerForms = 5;
const char* answer_form_id(AnswerForm form);

struct KindInfo {
  QuestionKind kind;
  const char* id;     ///< in sets and on the command line: "molar", "overjet"
  const char* skill;  ///< for people: "Molar relation"
  AnswerForm form;
};

const std::vector<KindInfo>& question_kinds();
const KindInfo& info_of(QuestionKind kind);
std::optional<QuestionKind> kind_of(const std::string& id);

constexpr int kEasiest = 1, kHardest = 7;

/// Of the practice recipes: it stands in every set. Questions of one version stay what they are; a change to how a
/// question is drawn or marked is another version, and those before it go on (docs/practice.md, "Versions"). Since 2:
/// no crossbite with only teeth that count neither way, midlines near by the shift, none for a universal number. Since
/// 3: no reading is right or near that overlooks most of what is there.
constexpr int kPracticeVersion = 3;

bool is_known_version(double number);

constexpr std::uint64_t kMostSeed = (1ull << 53) - 1;  ///< the largest whole number that JSON keeps everywhere

/// All that a question is made from: the same spec makes the same question everywhere.
struct QuestionSpec {
  QuestionKind kind = QuestionKind::molar_relation;
  std::uint64_t seed = 1;  ///< 1 to kMostSeed
  int difficulty = 3;      ///< kEasiest to kHardest
  int version = kPracticeVersion;
};

inline bool operator==(const QuestionSpec& a, const QuestionSpec& b) {
  return a.kind == b.kind && a.seed == b.seed && a.difficulty == b.difficulty && a.version == b.version;
}

}  // namespace intercusp
