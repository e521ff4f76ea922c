#include "practice/bite_draw.h"

#include <algorithm>
#include <cmath>

namespace intercusp {

namespace {

constexpr double kMolarUnit = 5.55;  ///< of the generator's average teeth, mm

/// Draws within one attempt: everything varies less the more attempts have failed.
class BiteDraw {
 public:
  BiteDraw(const QuestionSpec& spec, std::uint32_t attempt)
      : spec_(spec),
        random_(random_for(spec, attempt)),
        width_(1 - 0.6 * std::min(attempt, kMostBiteDraws) / kMostBiteDraws) {
    bite_.recipe.name = "practice";
    bite_.recipe.title = "Practice";
    bite_.recipe.seed = 1 + random_.below(100000);
    bite_.right = random_.below(2) == 0;
    bite_.recipe.size_variation = 0.04 * width_;
  }

  DrawnBite run() {
    choose();
    finish();
    return bite_;
  }

 private:
  double vary(double low, double high) { return width_ * random_.between(low, high); }
  bool chance(double p) { return random_.between(0, 1) < p; }
  double& molar(bool right) { return right ? bite_.recipe.molar_right_mm : bite_.recipe.molar_left_mm; }

  /// Quarter units, for the difficulty: plain classes, then halves, then every quarter.
  int quarters() {
    static constexpr int easy[] = {0, 4, -4, 4, 0, 3}, middle[] = {0, 2, -2, 4, 3, -3, 1},
                         hard[] = {0, 1, -1, 2, -2, 3, 1, 0};
    const int d = spec_.difficulty;
    return d <= 2 ? easy[random_.below(6)] : d <= 4 ? middle[random_.below(7)] : hard[random_.below(8)];
  }

  /// A molar offset of so many quarters, farther from the middle of the quarter the harder it is.
  double offset(int q) {
    const double off = 0.006 * spec_.difficulty * (spec_.difficulty >= 6 ? 3.2 : 1);
    return kMolarUnit * (0.25 * q + random_.between(-off, off));
  }

  void both(int q) {
    const double mm = offset(q);
    molar(true) = mm + vary(-0.25, 0.25);
    molar(false) = mm + vary(-0.25, 0.25);
  }

  void apart(int right, int left) {
    molar(true) = offset(right);
    molar(false) = offset(left);
  }

  /// Upper molar forward of its place after early loss: the canine stays behind.
  void drift(bool right) {
    const double mm = 1.2 + random_.between(0.2, 1.9 + 0.1 * spec_.difficulty);
    (right ? bite_.recipe.drift_right_mm : bite_.recipe.drift_left_mm) = mm;
    molar(right) += mm;
    bite_.trait = BiteTrait::drifted;
    bite_.right = right;
  }

  void look_alike() {
    switch (random_.below(4)) {
      case 0:
        drift(bite_.right);
        break;
      case 1: {
        const int q = 2 + static_cast<int>(random_.below(2));
        bite_.right ? apart(q, 0) : apart(0, q);
        bite_.trait = BiteTrait::asymmetric;
        break;
      }
      case 2: {
        bite_.right ? apart(2, -2) : apart(-2, 2);
        bite_.trait = BiteTrait::mixed;
        break;
      }
      default:
        both(2);
    }
  }

  void relation() {
    both(quarters());
    if (spec_.difficulty >= 4 && chance(0.45)) look_alike();
  }

  void division_two() {
    JawRecipe& r = bite_.recipe;
    r.upper_incisor_inclination_deg = -11 + vary(-1, 4);
    r.upper_lateral_inclination_deg = 9;
    r.lower_incisor_inclination_deg = -7;
    r.overbite_mm = 4.8 + vary(-0.5, 1);
    r.overjet_mm = 3.2 + vary(-0.3, 0.6);
    both(spec_.difficulty <= 3 ? 2 : 1);
  }

  void choose();
  void class_of_bite();
  void front();
  void form();
  void face();
  void finish();

  const QuestionSpec& spec_;
  FixedRandom random_;
  double width_;
  DrawnBite bite_;
  bool overjet_set_ = false;
};

void BiteDraw::class_of_bite() {
  const std::uint32_t pick = random_.below(spec_.kind == QuestionKind::division ? 2 : spec_.difficulty >= 3 ? 6 : 4);
  if (spec_.kind == QuestionKind::division) {
    if (pick == 0) {
      division_two();
      overjet_set_ = true;
    } else {
      both(spec_.difficulty >= 4 ? 2 : 4);
    }
    return;
  }
  if (pick == 0) return both(0);
  if (pick == 1) return both(spec_.difficulty <= 2 ? 4 : 2);
  if (pick == 2) return both(spec_.difficulty <= 2 ? -4 : -2);
  if (pick == 3 || pick == 4) {
    const int q = pick == 3 ? (spec_.difficulty <= 3 ? 4 : 2) : -2;
    bite_.right ? apart(q, 0) : apart(0, q);
    bite_.trait = BiteTrait::asymmetric;
    return;
  }
  bite_.right ? apart(2, -2) : apart(-2, 2);
  bite_.trait = BiteTrait::mixed;
}

void BiteDraw::front() {
  JawRecipe& r = bite_.recipe;
  if (spec_.kind == QuestionKind::open_bite) {
    static constexpr double open[] = {-4, -2.5, -1.2}, closed[] = {3.5, 2.5, 1.3};
    const int step = spec_.difficulty <= 2 ? 0 : spec_.difficulty <= 4 ? 1 : 2;
    const bool is_open = chance(0.6);
    r.overbite_mm = (is_open ? open[step] : closed[step]) + vary(-0.3, 0.3);
  } else if (spec_.kind == QuestionKind::overbite || spec_.kind == QuestionKind::curve_of_spee) {
    r.overbite_mm = random_.between(-1.5, 6.5);
  } else if (spec_.kind == QuestionKind::midline) {
    const double size = spec_.difficulty <= 2 ? random_.between(2, 3.2) : random_.between(1.1, 2.6);
    r.midline_mm = (chance(0.5) ? 1 : -1) * size;
    if (spec_.difficulty >= 4 && chance(0.3)) r.midline_mm = vary(-0.2, 0.2);
  } else if (spec_.kind == QuestionKind::crossbite) {
    const double most = spec_.difficulty <= 3 ? random_.between(4.2, 5.5) : random_.between(2.6, 4.6);
    if (chance(0.85)) (bite_.right ? r.crossbite_right_mm : r.crossbite_left_mm) = most;
    if (chance(0.25)) r.crossbite_right_mm = r.crossbite_left_mm = most;
  }
  if (spec_.kind != QuestionKind::crossbite)
    both(static_cast<int>(random_.below(4)) - 1 + (spec_.difficulty > 4 ? 1 : 0));
}

void BiteDraw::form() {
  JawRecipe& r = bite_.recipe;
  if (spec_.kind == QuestionKind::crowding) {
    const bool lower = chance(0.7);
    (lower ? r.crowding_lower_mm : r.crowding_upper_mm) = lower ? random_.between(1.5, 7) : random_.between(1, 3);
    bite_.right = lower;  // the arch asked about
  } else {
    const std::uint32_t pick = random_.below(3);
    const double hard = spec_.difficulty >= 5 ? 0.7 : 1;
    if (pick == 0) r.lower_front_size = 1 - hard * random_.between(0.07, 0.1);
    if (pick == 1) r.lower_front_size = 1 + hard * random_.between(0.07, 0.1);
    r.size_variation = 0.02 * width_;
  }
}

void BiteDraw::face() {
  JawRecipe& r = bite_.recipe;
  r.with_bone = true;
  const int sign = static_cast<int>(random_.below(3)) - 1;
  const double hard = spec_.difficulty >= 4 ? 0.75 : 1;
  both(sign == 0 ? 0 : sign > 0 ? 4 : -4);
  r.upper_jaw_forward_mm = sign > 0 ? vary(-0.5, 1) : sign < 0 ? -3.5 * hard + vary(-1, 1) : vary(-0.5, 0.5);
  r.face_height_mm = vary(-1, 3);
}

void BiteDraw::choose() {
  switch (spec_.kind) {
    case QuestionKind::angle_class:
    case QuestionKind::division:
    case QuestionKind::subdivision:
      return class_of_bite();
    case QuestionKind::overbite:
    case QuestionKind::open_bite:
    case QuestionKind::midline:
    case QuestionKind::crossbite:
    case QuestionKind::curve_of_spee:
      return front();
    case QuestionKind::crowding:
    case QuestionKind::tooth_size:
      return form();
    case QuestionKind::skeletal:
      return face();
    case QuestionKind::correction:
      return both(chance(0.5) ? 3 : -3);
    case QuestionKind::interference:
    case QuestionKind::notation:
    case QuestionKind::landmark:
      return both(static_cast<int>(random_.below(3)) - 1);
    default:
      return relation();
  }
}

/// What follows from the molars: the lower front stands where its teeth find room.
void BiteDraw::finish() {
  JawRecipe& r = bite_.recipe;
  const double drift = 0.5 * (r.drift_right_mm + r.drift_left_mm);
  const double mean = 0.5 * (r.molar_right_mm + r.molar_left_mm) - drift;
  // Around edge to edge the front teeth would meet in the same place: the generator has no room for that.
  const bool apart = std::abs(r.molar_right_mm - r.molar_left_mm) > 2;
  if (!overjet_set_) {
    r.overjet_mm = 2.5 + 0.95 * mean + (apart ? 1.0 : 0.0) + vary(-0.4, 0.8);
    if (r.overjet_mm < 1.1) r.overjet_mm = mean < -3.4 ? mean + 1.2 + vary(-0.6, 0.3) : 1.3 + vary(-0.2, 0.4);
    if (mean < -4.4) r.overbite_mm = 1.6;
  }
  const double wide = vary(-1.2, 1.2);
  r.intermolar_upper_mm += wide;
  r.intercanine_upper_mm += 0.55 * wide + vary(-0.2, 0.2);
  if (r.overjet_mm > 5.5) r.upper_incisor_inclination_deg = 12 + vary(-2, 3);
  if (spec_.kind != QuestionKind::open_bite && spec_.kind != QuestionKind::overbite &&
      spec_.kind != QuestionKind::curve_of_spee && !overjet_set_)
    r.overbite_mm += vary(-0.6, 0.8);
}

}  // namespace

FixedRandom random_for(const QuestionSpec& spec, std::uint32_t attempt) {
  // One step of the engine spreads each part over all bits before the next is mixed in.
  std::uint64_t state = 1;  // of how bites are drawn, which no version has changed yet
  for (const std::uint64_t part : {static_cast<std::uint64_t>(spec.kind), static_cast<std::uint64_t>(spec.seed),
                                   static_cast<std::uint64_t>(spec.difficulty), static_cast<std::uint64_t>(attempt)})
    state = FixedRandom(state ^ (part * 0x9e3779b97f4a7c15ull)).next();
  return FixedRandom(state);
}

DrawnBite draw_bite(const QuestionSpec& spec, std::uint32_t attempt) {
  return BiteDraw(spec, attempt).run();
}

std::string trait_words(const DrawnBite& bite) {
  const std::string side = bite.right ? "right" : "left";
  switch (bite.trait) {
    case BiteTrait::drifted:
      return "The upper " + side +
             " molars have drifted forward and the second premolar lacks room, as after early loss of the second "
             "deciduous molar: molar and canine of this side disagree.";
    case BiteTrait::asymmetric:
      return "The two sides differ: read each on its own.";
    case BiteTrait::mixed:
      return "One side is Class II and the other Class III: no single class says it.";
    default:
      return {};
  }
}

}  // namespace intercusp
