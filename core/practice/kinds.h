// What practice asks about. Each kind is a skill with a level of its own.
#pragma once

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

/// Of the practice recipes: it stands in every set and result. Questions of one version stay what they are; a change to
/// how a question is drawn or marked is another version.
constexpr int kPracticeVersion = 1;

/// All that a question is made from: the same spec makes the same question everywhere.
struct QuestionSpec {
  QuestionKind kind = QuestionKind::molar_relation;
  unsigned seed = 1;   ///< 1 to 999,999,999
  int difficulty = 3;  ///< kEasiest to kHardest
};

inline bool operator==(const QuestionSpec& a, const QuestionSpec& b) {
  return a.kind == b.kind && a.seed == b.seed && a.difficulty == b.difficulty;
}

}  // namespace intercusp
