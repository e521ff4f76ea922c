#include "anatomy/seating.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "anatomy/kept_seating.h"
#include "anatomy/lower_line.h"
#include "anatomy/notation.h"
#include "anatomy/sample_truth.h"
#include "anatomy/settling.h"
#include "anatomy/upper_arch.h"

namespace intercusp {

namespace {

constexpr double kUpperBase = 17.5, kLowerBase = -16.0;  ///< heights of the flat bases, mm
constexpr double kInwards = 2.4;   ///< the lower line of contacts lies this far inside the upper one at the back, mm
constexpr double kMesially = 2.2;  ///< the lower first molar begins this far in front of the upper one in Class I, mm
constexpr double kBackOverlap = 0.3;  ///< how far seated back teeth would reach into each other without wear, mm

constexpr double kFrontOverlap = 0.4;  ///< the same for the canines

ArchTeeth shifted(ArchTeeth teeth, const Vec3& by) {
  for (ArchTooth& tooth : teeth) {
    tooth.shift(by.head<2>());
    tooth.raise(by.z());
  }
  return teeth;
}

class Seating {
 public:
  Seating(const JawRecipe& recipe, UpperArch upper) : recipe_(recipe), upper_(std::move(upper)) {
    lower_ = make_teeth(recipe, false);
    start();
  }

  /// `kept`: where the teeth came to rest before; none: they are let rest first.
  Result<SeatedArches> run(const LowerSeating* kept) {
    if (!(kept ? stand_as(*kept) : rest())) return too_far();
    for (int round = 0; round < 12; ++round) {
      SeatedArches seated = worn();
      seated.landmarks = arch_landmarks(seated.upper, seated.upper_field);
      seated.landmarks.merge(arch_landmarks(seated.lower, seated.lower_field));
      if (correct(seated.landmarks) < 1e-9) return check(apart(std::move(seated)));
      if (!lay_out()) break;
    }
    return too_far();
  }

 private:
  void start() {
    const ArchLine line = ArchLine::from_beta(upper_.form);
    double six = 0;
    for (int n = 1; n <= 5; ++n) six = line.after_chord(six, tooth_of(upper_.teeth, 20 + n).room_mm());
    for (const bool right : {true, false}) {
      const double out = right ? recipe_.crossbite_right_mm : recipe_.crossbite_left_mm;
      guide_.push_back(line.inside(kInwards - out));
      const double molar = guide_.back().nearest(line.at(six)) - kMesially;
      (right ? x_.molar_right_mm : x_.molar_left_mm) = molar + (right ? recipe_.molar_right_mm : recipe_.molar_left_mm);
    }
    x_.apex = Vec2(-recipe_.midline_mm, recipe_.overjet_mm);
    x_.incisor_level = recipe_.overbite_mm;
    for (ArchTooth& tooth : lower_) {
      own_level_.push_back(is_incisor(tooth.iso()) ? tooth.stance.level_mm : 0.0);
      tooth.stance.level_mm = 1.8;
    }
  }

  bool rest() {
    for (const ArchTooth& tooth : lower_)
      if (!is_incisor(tooth.iso())) chewing_[tooth.iso()] = chewing_points(tooth.placed.form);
    if (!solve_line()) return false;
    const ChewingHeights upper = upper_heights();
    settle(upper, true);
    if (!solve_line()) return false;
    settle(upper, false);
    return true;
  }

  bool stand_as(const LowerSeating& kept) {
    x_ = kept.at;
    for (ArchTooth& tooth : lower_) tooth.stance = kept.stance.at(tooth.iso());
    return lay_out();
  }

  bool lay_out() {
    for (std::size_t i = 0; i < lower_.size(); ++i)
      if (is_incisor(lower_[i].iso())) lower_[i].stance.level_mm = x_.incisor_level + own_level_[i];
    for (const bool right : {true, false}) {
      const double side = right ? -1 : 1;
      LowerLineRequest request;
      request.apex = Vec2(side * (x_.apex.x() - upper_.apex.x()), x_.apex.y() - upper_.apex.y());
      request.molar_at = right ? x_.molar_right_mm : x_.molar_left_mm;
      for (int n = 1; n <= 5; ++n)
        request.widths[static_cast<std::size_t>(n - 1)] = tooth_of(lower_, (right ? 40 : 30) + n).room_mm();
      const auto line = lower_line(guide_[right ? 0 : 1], request);
      if (!line) return false;
      lay_out_half(lower_, side, line->line, x_.apex, line->spacing);
    }
    return true;
  }

  /// Landmarks before anything is worn: enough to measure.
  LandmarkSet line_landmarks() const {
    LandmarkSet set;
    for (const ArchTeeth* teeth : {&upper_.teeth, &lower_})
      for (const ArchTooth& tooth : *teeth) {
        const std::string prefix = std::to_string(tooth.iso()) + ".";
        for (const CrownMark& mark : tooth.marks) set[prefix + mark.feature].at = tooth.placed.world(mark.at);
        const Vec2 &m = tooth.contact_mesial, &d = tooth.contact_distal;
        set[prefix + "contact_mesial"].at = Vec3(m.x(), m.y(), 0);
        set[prefix + "contact_distal"].at = Vec3(d.x(), d.y(), 0);
      }
    return set;
  }

  /// Moves the unknowns by what is missing and returns the largest correction.
  double correct(const LandmarkSet& set) {
    const IncisorRelation incisors = incisor_relation(set);
    const double midline = recipe_.midline_mm - midline_offset(set);
    const double overjet = recipe_.overjet_mm - incisors.overjet_mm;
    const double overbite = recipe_.overbite_mm - incisors.overbite_mm;
    const double right = recipe_.molar_right_mm - molar_relation(set, true).offset_mm;
    const double left = recipe_.molar_left_mm - molar_relation(set, false).offset_mm;
    x_.apex += Vec2(-midline, overjet);
    x_.incisor_level += overbite;
    x_.molar_right_mm += right;
    x_.molar_left_mm += left;
    double largest = 0;
    for (const double error : {midline, overjet, overbite, right, left}) largest = std::max(largest, std::abs(error));
    return largest;
  }

  ChewingHeights upper_heights() const {
    Box region;
    for (const ArchTooth& tooth : lower_)
      for (const double x : {-9.0, 9.0}) region.extend(Vec3(tooth.placed.origin + Vec3::Constant(x)));
    region.extend(Vec3(0, 0, -6));
    region.extend(Vec3(0, 0, 14));
    return ChewingHeights(placed(upper_.teeth), region);
  }

  /// Lets every lower tooth behind the incisors rise or sink until it just reaches into the upper teeth; the back teeth
  /// may tilt as well.
  void settle(const ChewingHeights& upper, bool tilt) {
    for (ArchTooth& tooth : lower_) {
      if (position(tooth.iso()) < 4) continue;
      const std::vector<Vec3>& points = chewing_.at(tooth.iso());
      if (tilt) tilt_to_rest(tooth, points, upper, kBackOverlap, 4.0);
      tooth.raise(std::min(rise_to_contact(tooth, points, upper) + kBackOverlap, 4.0));
    }
    for (const int iso : {43, 33}) {
      ArchTooth& canine = tooth_of(lower_, iso);
      const double premolar = tooth_of(lower_, iso + 1).stance.level_mm;
      canine.raise(0.5 * x_.incisor_level + 0.5 * premolar + 0.3 - canine.stance.level_mm);
      const std::vector<Vec3>& points = chewing_.at(iso);
      canine.raise(std::min(rise_to_contact(canine, points, upper) + kFrontOverlap, 0.0));
    }
  }

  /// Solves for the arch line; the landmarks are those of the unworn crowns.
  bool solve_line() {
    for (int round = 0; round < 40; ++round) {
      if (!lay_out()) return false;
      if (correct(line_landmarks()) < 1e-10) break;
    }
    return lay_out();
  }

  std::optional<Palate> palate() const {
    const Vec3 molar = tooth_of(upper_.teeth, 26).placed.origin, last = tooth_of(upper_.teeth, 27).placed.origin;
    Palate p;
    p.half_width = 0.5 * (molar.x() - tooth_of(upper_.teeth, 16).placed.origin.x()) - 5.0;
    p.front_y = 9.5;
    p.centre_y = 27;
    p.back_y = last.y() + 9;
    return p;
  }

  SeatedArches worn() const {
    SeatedArches seated{
        upper_.teeth, lower_, ArchField(placed(upper_.teeth), kUpperBase, palate()), worn_lower(Vec3::Zero()), {}, x_};
    std::vector<PlacedTooth> front;
    for (const ArchTooth& tooth : lower_)
      if (position(tooth.iso()) <= 3) front.push_back(tooth.placed);
    seated.upper_field.wear_against(front, WearRegion{});
    return seated;
  }

  /// The lower arch as its bite has worn it, taken from there by `by`.
  ArchField worn_lower(const Vec3& by) const {
    const ArchTeeth lower = shifted(lower_, by);
    ArchField field(placed(lower), kLowerBase + by.z(), std::nullopt);
    WearRegion back;
    back.back_teeth_only = true;
    const ArchTooth &r = tooth_of(lower, 44), &l = tooth_of(lower, 34);
    back.from_right = r.contact_mesial;
    back.from_left = l.contact_mesial;
    back.backwards_right = (r.contact_distal - r.contact_mesial).normalized();
    back.backwards_left = (l.contact_distal - l.contact_mesial).normalized();
    field.wear_against(placed(shifted(upper_.teeth, by)), back);
    return field;
  }

  /// The lower arch taken to where it stands before surgery.
  SeatedArches apart(SeatedArches seated) const {
    const Vec3 by(0, -recipe_.lower_forward_mm, -recipe_.lower_down_mm);
    if (by.isZero()) return seated;
    seated.lower = shifted(lower_, by);
    seated.lower_field = worn_lower(by);
    for (auto& [name, landmark] : seated.landmarks)
      if (jaw_of_landmark(name) == Jaw::lower) landmark.at += by;
    return seated;
  }

  /// Wear must not have reached the edges and tips that carry the occlusal frame.
  Result<SeatedArches> check(SeatedArches seated) const {
    const LandmarkSet& set = seated.landmarks;
    const Vec3 middle = 0.5 * (set.at("11.incisal_edge_mid").at + set.at("21.incisal_edge_mid").at);
    const double tips = std::abs(set.at("16.mesiobuccal_cusp").at.z()) + std::abs(set.at("26.mesiobuccal_cusp").at.z());
    if (middle.norm() + tips > 1e-9) return too_far();
    return seated;
  }

  Error too_far() const {
    return Error{"no lower arch of these teeth meets the overjet, overbite, midline and molar relation asked for",
                 "recipe \"" + recipe_.name + "\"",
                 "bring the overjet nearer to 2.5 mm plus the molar relation, or the overbite nearer to 2.5 mm"};
  }

  const JawRecipe& recipe_;
  UpperArch upper_;
  ArchTeeth lower_;
  std::vector<ArchLine> guide_;  ///< right, left; half-arch axes
  std::vector<double> own_level_;
  std::map<int, std::vector<Vec3>> chewing_;  ///< points of the lower teeth behind the incisors
  LowerUnknowns x_;
};

}  // namespace

Result<SeatedArches> seat_arches(const JawRecipe& recipe) {
  return seat_arches_from(recipe, kept_seating(recipe));
}

Result<SeatedArches> seat_arches_from(const JawRecipe& recipe, const LowerSeating* kept) {
  auto upper = stand_upper(recipe);
  if (!upper) return upper.error();
  return Seating(recipe, std::move(upper).value()).run(kept);
}

}  // namespace intercusp
