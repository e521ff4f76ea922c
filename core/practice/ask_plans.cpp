// What a movement does: which one corrects, what it runs into, what a sheet says.
#include <algorithm>
#include <array>
#include <cmath>

#include "anatomy/notation.h"
#include "anatomy/tooth_at.h"
#include "geometry/contact.h"
#include "practice/asking.h"
#include "practice/words.h"
#include "surgery/movement_note.h"

namespace intercusp {

namespace {

/// A movement of one jaw about the midpoint of its central edges.
struct JawMove {
  Jaw jaw;
  Movement movement;

  Vec3 pivot(const PointMap& points) const { return note_points(points, jaw).at("incisors"); }
  Pose change(const PointMap& points) const { return pose_of(movement, pivot(points)); }
  const char* segment() const { return jaw == Jaw::upper ? "upper" : "lower"; }
  std::string note(const PointMap& points) const {
    return write_movement_note(jaw == Jaw::upper ? "Upper jaw" : "Lower jaw", note_points(points, jaw), change(points));
  }
};

/// What the table reads once a jaw has moved, of a measure that can be read at rest.
MeasureValue read_moved(const BiteReading& reading, const JawMove& move, const std::string& id) {
  MeasureInput input = reading.input();
  const Pose change = move.change(reading.points());
  for (auto& [name, at] : input.points)
    if (jaw_of_landmark(name) == move.jaw) at = change * at;
  const auto frame = maxillary_occlusal_frame(input.points);
  if (frame) input.frame = frame.value();
  return find_measure(id)->measure(input);
}

double half_steps(double mm) {
  return 0.5 * static_cast<double>(std::lround(2 * mm));
}

/// Overjet and molars of both sides are where they are usual; else whether they are clearly not.
struct Corrected {
  bool yes = false, clearly_no = false;
};

Corrected corrects(const BiteReading& reading, const JawMove& move) {
  const double overjet = read_moved(reading, move, "overjet").value;
  int most = 0;
  for (const char* id : {"molar_right", "molar_left"})
    most = std::max(most, std::abs(*read_moved(reading, move, id).quarters));
  return {most == 0 && overjet > 0.8 && overjet < 4, most >= 2};
}

/// "the overjet is 2.36 mm; the molars: right Class I, 0.15 mm mesial, left Class I, 0.21 mm mesial."
std::string after_words(const BiteReading& reading, const JawMove& move) {
  const auto words = [&](const char* id) { return in_words(*find_measure(id), read_moved(reading, move, id)); };
  return "the overjet is " + words("overjet") + "; the molars: right " + words("molar_right") + ", left " +
         words("molar_left") + ".";
}

/// Negative and positive shares of what would correct, the right one first.
constexpr std::array<double, 4> kShares{1, -1, 0.4, 1.9};

enum class Place { front, right, left, nowhere };
const char* const kPlaceWords[] = {"The front teeth", "The back teeth on the patient's right",
                                   "The back teeth on the patient's left", "Nothing meets"};

Place place_of(int lower_tooth) {
  if (position(lower_tooth) <= 3) return Place::front;
  return is_right(lower_tooth) ? Place::right : Place::left;
}

/// Deepest overlap at a place once the lower jaw has moved, mm, and where.
struct DeepestAt {
  double mm = 0;
  Vec3 at = Vec3::Zero();
};

std::array<DeepestAt, 3> depths_of(const SampleJaws& jaws, const BiteReading& reading, const Pose& change) {
  PointMap lower;
  for (const auto& [name, at] : reading.points())
    if (jaw_of_landmark(name) == Jaw::lower) lower[name] = change * at;
  const TeethOfArch teeth(lower, Jaw::lower);
  std::array<DeepestAt, 3> depths{};
  const auto found = find_contact(*Surface::make(jaws.bodies[0].mesh), Pose::Identity(),
                                  *Surface::make(jaws.bodies[1].mesh), change, {});
  for (const OverlapRegion& region : found.regions) {
    const int tooth = teeth.at(region.at);
    if (tooth == 0) continue;
    DeepestAt& depth = depths[static_cast<std::size_t>(place_of(tooth))];
    if (region.deepest_mm > depth.mm) depth = {region.deepest_mm, region.at};
  }
  return depths;
}

JawMove drawn_collision(FixedRandom& random) {
  JawMove move{Jaw::lower, {}};
  Movement& m = move.movement;
  switch (random.below(4)) {
    case 0:
      m.pitch_deg = 3 + 0.5 * random.below(4);  // the molars stay clear
      m.up_mm = 1.5 + 0.5 * random.below(3);
      break;
    case 1:
      m.roll_deg = 2 + 0.5 * random.below(4);
      break;
    case 2:
      m.roll_deg = -2 - 0.5 * random.below(4);
      break;
    default:
      m.up_mm = -2 - 0.5 * random.below(4);
      m.forward_mm = 0.5 * random.below(5);
  }
  return move;
}

std::string tenths(double mm) {
  const long n = std::lround(10 * mm);
  return std::to_string(n / 10) + "." + std::to_string(n % 10);
}

struct SheetItem {
  const char *measure, *what, *positive, *negative;
};
constexpr SheetItem kSheetItems[] = {
    {"overjet", "overjet", "forward", "reverse"},
    {"overbite", "overbite", "overlap", "open"},
    {"midline_upper_lower", "distance of the upper midline from the lower one", "left", "right"}};

Movement drawn_sheet(FixedRandom& random, int difficulty) {
  const auto half = [&random](int low, int high) {
    return 0.5 * (low + static_cast<int>(random.below(static_cast<std::uint32_t>(high - low + 1))));
  };
  Movement m;
  m.forward_mm = half(-6, 10);
  if (difficulty >= 2) m.up_mm = half(-4, 6);
  if (difficulty >= 3) m.left_mm = half(-4, 4);
  return m;
}

}  // namespace

Asked ask_correction(Asking& a) {
  const auto right = a.reading.of("molar_right"), left = a.reading.of("molar_left");
  // A movement takes no landmark away: what can be read at rest can be read after it.
  if (!right || !left || !a.reading.of("overjet")) return std::nullopt;
  const double mean = half_steps(0.5 * (right->value + left->value));
  const JawMove base{a.random.below(2) == 0 ? Jaw::upper : Jaw::lower, {}};
  PracticeQuestion question = question_for(
      a, AnswerForm::choice, "Which movement brings the overjet and the molars of both sides to where they are usual?");
  for (std::size_t i = 0; i < kShares.size(); ++i) {
    JawMove move = base;
    move.movement.forward_mm = half_steps(kShares[i] * (base.jaw == Jaw::upper ? -mean : mean));
    const Corrected c = corrects(a.reading, move);
    if (i == 0 ? !c.yes : !c.clearly_no) return std::nullopt;
    question.choices.push_back({move.note(a.reading.points()),
                                i == 0   ? 1.0
                                : i == 2 ? 0.25
                                         : 0.0,
                                i == 0 ? 1.0 : 0.0, after_words(a.reading, move)});
    if (i > 0) continue;
    a.moved = PlanEntry{move.segment(), move.movement, ""};
    explain_by(question, "overjet", read_moved(a.reading, move, "overjet"));
    question.truth_words = question.choices[0].words + " Then " + question.choices[0].leads_to;
  }
  question.construct = right->construct;
  question.source =
      "overjet of 1 to 3 mm as usual: Cangialosi et al. 2004, AJODO, up to 4 counts here; Class I: Angle 1899";
  shuffle(question.choices, a.random);
  return question;
}

Asked ask_interference(Asking& a) {
  const JawMove move = drawn_collision(a.random);
  JawRecipe recipe = a.bite.recipe;
  recipe.triangles = 20000;
  const auto jaws = make_sample(recipe);
  if (!jaws) return std::nullopt;
  const auto depths = depths_of(jaws.value(), a.reading, move.change(a.reading.points()));
  const auto deepest = std::max_element(depths.begin(), depths.end(),
                                        [](const DeepestAt& x, const DeepestAt& y) { return x.mm < y.mm; });
  auto place = static_cast<std::size_t>(deepest - depths.begin());
  for (std::size_t i = 0; i < depths.size(); ++i)
    if (i != place && depths[i].mm > 0.5 * depths[place].mm) return std::nullopt;
  if (deepest->mm < 0.05) place = static_cast<std::size_t>(Place::nowhere);
  if (deepest->mm >= 0.05 && deepest->mm < 0.5) return std::nullopt;
  PracticeQuestion question =
      question_for(a, AnswerForm::choice, "Where will the teeth be in the way most after this movement?");
  question.sheet = move.note(a.reading.points());
  for (std::size_t i = 0; i < 4; ++i)
    question.choices.push_back({kPlaceWords[i], i == place ? 1.0 : 0.0, i == place ? 1.0 : 0.0});
  question.truth_words = kPlaceWords[place];
  if (place < 3) {
    question.truth_words += ", " + tenths(deepest->mm) + " mm deep";
    question.construct = {{"point", {deepest->at}, ""}};
    const double up = (deepest->at - move.change(a.reading.points()).inverse() * deepest->at).z();
    if (up > 0) question.note = "There the movement brings the lower teeth up by " + tenths(up) + " mm.";
  } else {
    question.note = "The movement takes the lower teeth away from the upper ones everywhere.";
  }
  question.source = "read from the surfaces of the teeth, once the jaw has moved";
  a.moved = PlanEntry{move.segment(), move.movement, ""};
  return question;
}

Asked ask_sheet(Asking& a) {
  const JawMove move{a.random.below(2) == 0 ? Jaw::upper : Jaw::lower, drawn_sheet(a.random, a.spec.difficulty)};
  const SheetItem& item = kSheetItems[a.random.below(a.spec.difficulty <= 2 ? 2 : 3)];
  const MeasureDefinition& definition = *find_measure(item.measure);
  const auto before = a.reading.of(item.measure);
  if (!before) return std::nullopt;
  const MeasureValue after = read_moved(a.reading, move, item.measure);
  PracticeQuestion question = question_for(
      a, AnswerForm::number, std::string("What will the ") + item.what + " be after the movement on this sheet?");
  question.sheet =
      "Before: " + definition.name + " " + in_words(definition, *before) + ". " + move.note(a.reading.points());
  explain_by(question, item.measure, after);
  question.construct = before->construct;
  // Shown with the mark: the sum that was to be done.
  const double change = after.value - before->value;
  question.note = "Before " + short_number(before->value) + " mm; the movement " +
                  (change < 0 ? "takes away " : "adds ") + short_number(std::abs(change)) +
                  " mm: " + short_number(after.value) + " mm, where " + item.positive + " counts as plus.";
  question.value = after.value;
  question.unit = "mm";
  question.positive_word = item.positive;
  question.negative_word = item.negative;
  // The sheet is exact; what may be off is the sum.
  question.uncertainty = 0;
  question.right_within = 0.3;
  question.near_within = 0.8;
  a.moved = PlanEntry{move.segment(), move.movement, ""};
  return question;
}

}  // namespace intercusp
