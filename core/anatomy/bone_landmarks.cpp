#include "anatomy/bone_landmarks.h"

#include <algorithm>
#include <functional>
#include <string>

#include "anatomy/surface_search.h"

namespace intercusp {

namespace {

using ToPatient = std::function<Vec3(const Vec3&)>;

/// A view from `towards`, both given for the left side in the plain skull; `side` -1 mirrors it.
LineOfSight look_at(const ToPatient& patient, double side, const Vec3& at, const Vec3& towards, const Vec3& axis,
                    double reach, double away) {
  const auto mirrored = [side](const Vec3& v) { return Vec3(side * v.x(), v.y(), v.z()); };
  LineOfSight look;
  look.base = patient(mirrored(at));
  look.towards = mirrored(towards).normalized();
  look.axis = mirrored(axis - axis.dot(towards.normalized()) * towards.normalized()).normalized();
  look.away_mm = away;
  look.from = -reach;
  look.to = reach;
  return look;
}

/// Where the middle of a canal passes through the surface that was there before it was bored, coming from one end.
Vec3 mouth_of(const ScalarField& before, const ToPatient& patient, Canal canal, double side, bool from_start) {
  if (!from_start) std::reverse(canal.knots.begin(), canal.knots.end());
  const auto at = [&](double s) {
    const auto n = static_cast<std::ptrdiff_t>(canal.knots.size());
    const auto i = std::min(static_cast<std::ptrdiff_t>(s), n - 2);
    const auto knot = [&](std::ptrdiff_t k) {
      return canal.knots[static_cast<std::size_t>(std::clamp(k, std::ptrdiff_t{0}, n - 1))].at;
    };
    const Vec3 p = between_knots<Vec3>(knot(i - 1), knot(i), knot(i + 1), knot(i + 2), s - static_cast<double>(i));
    return patient(Vec3(side * p.x(), p.y(), p.z()));
  };
  double out = 0, in = 0;
  while (in < static_cast<double>(canal.knots.size() - 1) && before.value(at(in)) > 0) {
    out = in;
    in += 0.02;
  }
  for (int round = 0; round < 60; ++round) {
    const double middle = 0.5 * (out + in);
    (before.value(at(middle)) > 0 ? out : in) = middle;
  }
  return at(in);
}

class UpperMarks {
 public:
  UpperMarks(LandmarkSet& set, const BoneSolid& bone, const SkullPattern& pattern)
      : set_(set),
        bone_(bone.solid),
        before_(bone.solid, bone.before_canals),
        patient_([pattern](const Vec3& p) { return pattern.patient_upper(p); }) {}

  void run() {
    const Vec3 forward = frankfort_forward(), up = frankfort_up();
    set_["ANS"].at = midline({0, 5, 29.3}, forward, up, 1.8, true);
    set_["PNS"].at = midline({0, 50, 25}, -forward, up, 2, true, 8);
    set_["A"].at = midline({0, 8, 21.5}, forward, up, 5, false);
    set_["N"].at = seen_at(bone_, look_at(patient_, 1, {0, 12, 80.6}, forward, up, 1, 20), 0);
    set_["S"].at = patient_({0, 77.3, 66.4});
    set_["Ba"].at = midline({0, 97, 28}, Vec3(0, 0.35, -1), Vec3::UnitY(), 4, true, 12);
    for (const double side : {1.0, -1.0}) {
      side_ = side;
      tail_ = side > 0 ? "_left" : "_right";
      mark_rims();
      mark_canals();
      mark_back();
    }
  }

 private:
  Vec3 midline(const Vec3& at, const Vec3& towards, const Vec3& axis, double reach, bool highest,
               double away = 20) const {
    return extreme_along(bone_, look_at(patient_, 1, at, towards, axis, reach, away), highest);
  }
  Vec3& mark(const char* name) { return set_[name + tail_].at; }
  LineOfSight look(const Vec3& at, const Vec3& towards, const Vec3& axis, double reach, double away) const {
    return look_at(patient_, side_, at, towards, axis, reach, away);
  }

  void mark_rims() {
    // Lower rim of the orbit: at each breadth the edge that faces forward and up, of these the lowest.
    const Vec3 sideways(side_, 0, 0);
    mark("Or") = rim_extreme(bone_, look({28, 17.5, 53.5}, Vec3(0, -1, 1), Vec3(0, 1, 1), 3, 14), sideways, -7, 7,
                             -frankfort_up());
    // Side rim of the nasal aperture: the edge that faces forward and inward, of these the farthest to the side.
    mark("NC") = rim_extreme(bone_, look({11.5, 9.5, 34}, Vec3(-0.6, -1, 0), Vec3(1, -0.6, 0), 3, 8), Vec3::UnitZ(),
                             -6.5, 7, sideways);
    mark("J") = extreme_along(bone_, look({30, 28.5, 22.5}, Vec3::UnitX(), Vec3::UnitZ(), 8, 20), false);
    mark("Zy") = extreme_near(bone_, look({61, 66, 46}, Vec3::UnitX(), Vec3::UnitZ(), 2, 15));
  }

  void mark_canals() {
    mark("infraorbital_foramen") = mouth_of(before_, patient_, infraorbital_canal(), side_, true);
    mark("greater_palatine_foramen") = mouth_of(before_, patient_, palatine_canal(), side_, true);
    mark("palatine_canal_top") = mouth_of(before_, patient_, palatine_canal(), side_, false);
    const Vec3 in_canal = patient_({side_ * 58, 98.4, 41.1});
    mark("Po") = seen_at(bone_, {in_canal, -Vec3::UnitZ(), 0, Vec3::UnitX(), 0, 0}, 0);
  }

  void mark_back() {
    mark("PMJ") = extreme_along(bone_, look({20, 53.5, 27}, Vec3::UnitX(), Vec3::UnitY(), 3.5, 12), false);
  }

  LandmarkSet& set_;
  const SolidProgram& bone_;
  EarlierSolid before_;
  ToPatient patient_;
  double side_ = 1;
  std::string tail_;
};

class LowerMarks {
 public:
  LowerMarks(LandmarkSet& set, const BoneSolid& bone, const BoneSolid& upper, const SkullPattern& pattern,
             double crest_z)
      : set_(set),
        bone_(bone.solid),
        skull_(upper.solid),
        before_(bone.solid, bone.before_canals),
        patient_([pattern](const Vec3& p) { return pattern.patient_lower(p); }),
        crest_z_(crest_z) {}

  void run() {
    const Vec3 forward = frankfort_forward(), up = frankfort_up();
    set_["Pog"].at = midline({0, 8, -32}, forward, up, 5, true);
    set_["Me"].at = midline({0, 10, -38}, -up, forward, 7, true);
    set_["Gn"].at = midline({0, 8, -36}, (forward - up).normalized(), (forward + up).normalized(), 6, true);
    const double pog = set_["Pog"].at.z();
    LineOfSight hollow = look_at(patient_, 1, {0, 9, -19}, forward, up, 7, 20);
    hollow.base.z() = 0.5 * (pog + crest_z_);
    hollow.to = 0.5 * (crest_z_ - pog);
    hollow.from = -hollow.to;
    set_["B"].at = extreme_along(bone_, hollow, false);
    for (const double side : {1.0, -1.0}) {
      side_ = side;
      tail_ = side > 0 ? "_left" : "_right";
      mark_joint();
      mark_canal();
    }
  }

 private:
  Vec3 midline(const Vec3& at, const Vec3& towards, const Vec3& axis, double reach, bool highest) const {
    return extreme_along(bone_, look_at(patient_, 1, at, towards, axis, reach, 20), highest);
  }
  Vec3& mark(const std::string& name) { return set_[name + tail_].at; }
  LineOfSight look(const Vec3& at, const Vec3& towards, const Vec3& axis, double reach, double away) const {
    return look_at(patient_, side_, at, towards, axis, reach, away);
  }

  void mark_joint() {
    const Vec3 back = -frankfort_forward(), up = frankfort_up();
    const CondyleForm condyle = CondyleForm::plain();
    const Vec3& c = condyle.centre;
    mark("condyle_centre") = patient_({side_ * c.x(), c.y(), c.z()});
    mark("Co") = extreme_near(bone_, look(c, (back + up).normalized(), Vec3::UnitX(), 3, 12));
    mark("Go") = extreme_near(bone_, look({47, 80, -10}, (back - up).normalized(), Vec3::UnitX(), 3, 15));
    mark("Ar") = articulare();
    const Vec3 tongue = Vec3(-0.3, 1.6, 2.4).normalized();
    mark("lingula") = extreme_near(bone_, look({40.2, 73, 8.4}, tongue, Vec3::UnitX(), 0.5, 2.5));
  }

  /// Articulare is a crossing of outlines in the side view: it lies on the hind border of the mandible at the height
  /// where the front of the clivus, in the midline, is just as far back.
  Vec3 articulare() const {
    const Vec3 forward = frankfort_forward();
    const auto border = [&](double z) {
      return extreme_along(bone_, look({50, 86, z}, Vec3::UnitY(), Vec3::UnitX(), 5, 14), true);
    };
    double low = 28, high = 37;
    for (int round = 0; round < 18; ++round) {
      const double middle = 0.5 * (low + high);
      const Vec3 at = border(middle);
      const Vec3 clivus = seen_at(skull_, {Vec3(0, 78, at.z()), -Vec3::UnitY(), 10, Vec3::UnitX(), 0, 0}, 0);
      (forward.dot(at - clivus) < 0 ? low : high) = middle;
    }
    return border(0.5 * (low + high));
  }

  void mark_canal() {
    const Canal canal = mandibular_canal();
    mark("mandibular_foramen") = mouth_of(before_, patient_, canal, side_, true);
    mark("mental_foramen") = mouth_of(before_, patient_, canal, side_, false);
    std::size_t knot = 2;
    for (const char* place : {"ramus", "angle", "turn", "back", "front"}) {
      const Vec3& at = canal.knots[knot++].at;
      mark(std::string("mandibular_canal_") + place) = patient_({side_ * at.x(), at.y(), at.z()});
    }
  }

  LandmarkSet& set_;
  const SolidProgram &bone_, &skull_;
  EarlierSolid before_;
  ToPatient patient_;
  double crest_z_;
  double side_ = 1;
  std::string tail_;
};

}  // namespace

void mark_upper_bone(LandmarkSet& set, const BoneSolid& bone, const SkullPattern& pattern) {
  UpperMarks(set, bone, pattern).run();
}

void mark_lower_bone(LandmarkSet& set, const BoneSolid& bone, const BoneSolid& upper, const SkullPattern& pattern,
                     double crest_z) {
  LowerMarks(set, bone, upper, pattern, crest_z).run();
}

}  // namespace intercusp
