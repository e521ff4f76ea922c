// Where the condyles turn, for a case without bone: said in distances from the lower incisors, or taken as average.
#include <algorithm>
#include <cmath>

#include "app/work/command_table.h"
#include "app/work/condyle_centres.h"
#include "app/work/landmark_change.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

// Bonwill 1858: both centres and the incisal point stand 4 inches from each other. Balkwill 1866: that triangle makes
// some 26 degrees with the occlusal plane (from memory; 22 to 30 reported).
constexpr double kBonwillMm = 101.6, kBalkwillDeg = 26;
constexpr double kLeastMm = 5, kMostMm = 160;

// Midpoint of the lower central incisors at the start.
std::optional<Vec3> incisal_point(const Workspace& w) {
  const auto& points = w.readings.start().points;
  for (const char* feature : {".contact_mesial", ".incisal_edge_mid"}) {
    const auto right = points.find(std::string("41") + feature), left = points.find(std::string("31") + feature);
    if (right != points.end() && left != points.end()) return Vec3(0.5 * (right->second + left->second));
  }
  return std::nullopt;
}

constexpr double kOfAnAverage = 0.7;  // confidence in a centre that is nobody's own

std::string centre_name(bool right) {
  return right ? "condyle_centre_right" : "condyle_centre_left";
}

void put(const Workspace& w, Case& next, bool right, const CondylePlace& place, bool confirmed) {
  const OcclusalFrame& f = *w.readings.start().input.frame;
  const Vec3 at = *incisal_point(w) - place.back_mm * f.forward + place.up_mm * f.up +
                  (right ? -place.aside_mm : place.aside_mm) * f.left;
  next.landmarks[centre_name(right)] = {w.now().patient_from_scans.inverse() * at, confirmed,
                                        confirmed ? Landmark::Origin::placed : Landmark::Origin::proposed,
                                        confirmed ? 1 : kOfAnAverage};
}

Result<Json> condyle_centres(Workspace& w, const Json& args) {
  if (!can_say_condyles(w))
    return Error{"the condyles cannot be placed from the teeth yet", "",
                 "place the upper incisors and first molars, and 31 and 41, first"};
  Case next = w.now();
  if (flag_at(args, "average").value_or(false)) {
    for (const bool right : {true, false}) put(w, next, right, average_condyle(), false);
    change_landmarks(w, std::move(next), "Average condyle centres");
    return nothing();
  }
  const std::string side = text_at(args, "side").value_or("");
  if (side != "right" && side != "left") return Error{"no side for the condyle", "", "give side: right or left"};
  CondylePlace place = condyle_place(w, side == "right").value_or(average_condyle());
  place.back_mm = number_at(args, "back_mm").value_or(place.back_mm);
  place.up_mm = number_at(args, "up_mm").value_or(place.up_mm);
  place.aside_mm = number_at(args, "aside_mm").value_or(place.aside_mm);
  const auto within = [](double mm) { return mm >= kLeastMm && mm <= kMostMm; };
  if (!within(place.back_mm) || !within(place.aside_mm) || !(std::abs(place.up_mm) <= kMostMm))
    return Error{"no condyle lies there", "condyle_centres",
                 "give 5 to 160 mm behind the lower incisors and to the side of the middle"};
  put(w, next, side == "right", place, true);
  const std::string merge = text_at(args, "merge").value_or("");
  change_landmarks(w, std::move(next), "Placed the centre of the " + side + " condyle", merge);
  return nothing();
}

}  // namespace

CondylePlace average_condyle() {
  const double reach = kBonwillMm * std::sqrt(0.75), angle = radians(kBalkwillDeg);
  return {reach * std::cos(angle), reach * std::sin(angle), 0.5 * kBonwillMm};
}

bool can_say_condyles(const Workspace& w) {
  return w.has_case && w.readings.start().input.frame && incisal_point(w);
}

std::optional<CondylePlace> condyle_place(const Workspace& w, bool right) {
  const auto found = w.readings.start().points.find(centre_name(right));
  if (!can_say_condyles(w) || found == w.readings.start().points.end()) return std::nullopt;
  const OcclusalFrame& f = *w.readings.start().input.frame;
  const Vec3 d = found->second - *incisal_point(w);
  return CondylePlace{-d.dot(f.forward), d.dot(f.up), right ? -d.dot(f.left) : d.dot(f.left)};
}

void add_condyle_commands(std::map<std::string, Command>& t) {
  t["condyle_centres"] = {condyle_centres};
}

}  // namespace intercusp
