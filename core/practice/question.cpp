#include "practice/question.h"

#include "casebook/recipe_link.h"
#include "practice/asking.h"

namespace intercusp {

namespace {

constexpr std::uint32_t kClearWithin = 5;  ///< draws within which something clearer should turn up
/// Where the usual draws give nothing (of 2,000 questions one did): a set must not stop at a question that cannot be
/// made.
constexpr std::uint32_t kMostDraws = 5 * kMostBiteDraws;

Asked ask_kind(Asking& a) {
  switch (a.spec.kind) {
    case QuestionKind::molar_relation:
    case QuestionKind::canine_relation:
      return ask_side_relation(a);
    case QuestionKind::angle_class:
      return ask_angle_class(a);
    case QuestionKind::division:
      return ask_division(a);
    case QuestionKind::subdivision:
      return ask_subdivision(a);
    case QuestionKind::midline:
      return ask_midline(a);
    case QuestionKind::open_bite:
      return ask_open_bite(a);
    case QuestionKind::crossbite:
      return ask_crossbite(a);
    case QuestionKind::tooth_size:
      return ask_tooth_size(a);
    case QuestionKind::skeletal:
      return ask_skeletal(a);
    case QuestionKind::notation:
      return ask_notation(a);
    case QuestionKind::landmark:
      return ask_landmark(a);
    case QuestionKind::correction:
      return ask_correction(a);
    case QuestionKind::interference:
      return ask_interference(a);
    case QuestionKind::sheet:
      return ask_sheet(a);
    default:
      return ask_number(a);
  }
}

Status check_spec(const QuestionSpec& spec) {
  const bool fine = spec.seed >= 1 && spec.seed <= kMostSeed && spec.difficulty >= kEasiest &&
                    spec.difficulty <= kHardest && static_cast<int>(spec.kind) >= 0 &&
                    static_cast<int>(spec.kind) < kQuestionKinds && is_known_version(spec.version);
  if (fine) return Done{};
  return Error{"there is no such question", "practice",
               "use seeds from 1 to " + std::to_string(kMostSeed) + " and difficulties from 1 to 7"};
}

std::string where_of(const QuestionSpec& spec) {
  return std::string("question ") + info_of(spec.kind).id + ", seed " + std::to_string(spec.seed) + ", difficulty " +
         std::to_string(spec.difficulty);
}

}  // namespace

Result<MadeQuestion> make_question(const QuestionSpec& spec) {
  if (const Status fine = check_spec(spec); !fine) return fine.error();
  std::optional<MadeQuestion> doubtful;
  for (std::uint32_t attempt = 0; attempt < kMostDraws; ++attempt) {
    const DrawnBite bite = draw_bite(spec, attempt);
    auto jaws = make_sample_points(bite.recipe);
    if (!jaws) continue;
    BiteReading reading(jaws.value());
    Asking asking{spec, bite, reading, random_for(spec, 1000 + attempt), std::nullopt};
    Asked asked = ask_kind(asking);
    if (!reading.fault().empty()) return Error{reading.fault(), where_of(spec), "please report this question"};
    if (!asked) continue;
    if (!asked->two_answers || spec.difficulty >= 6)
      return MadeQuestion{std::move(*asked), std::move(jaws).value(), asking.moved};
    // Kept for the case that nothing clearer turns up: it says that two answers count.
    if (doubtful && attempt >= kClearWithin) break;
    if (!doubtful) doubtful = MadeQuestion{std::move(*asked), std::move(jaws).value(), asking.moved};
  }
  if (doubtful) return std::move(*doubtful);
  return Error{"no bite for this question was found", where_of(spec), "take another seed"};
}

Result<Case> case_of(const MadeQuestion& made, std::uint32_t triangles) {
  JawRecipe recipe = made.jaws.recipe;
  recipe.triangles = triangles;
  auto jaws = make_sample(recipe);
  if (!jaws) return jaws.error();
  Case c = case_from_jaws(std::move(jaws).value(), "practice");
  // It is no sample that a link can name.
  c.recipe.clear();
  if (!made.question.landmark.empty()) c.landmarks.erase(made.question.landmark);
  if (made.moved) c.plans.push_back({"A", {*made.moved}});
  return c;
}

}  // namespace intercusp
