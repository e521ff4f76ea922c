#include "occlusion/settle_setup.h"

#include "occlusion/chewing_samples.h"
#include "occlusion/reading.h"
#include "occlusion/settle_conditions.h"

namespace intercusp {
namespace {

constexpr double kWatchedMm = 25;  // from the middle of the lower teeth: about where its ends are

// Towards the other jaw: the normal of an arch's own front and back teeth, else the frame's up direction.
Vec3 lower_up(const MeasureInput& in) {
  const Names names = {"31.incisal_edge_mid", "36.mesiobuccal_cusp", "46.mesiobuccal_cusp"};
  if (!absent(in, names).empty()) return in.frame->up;
  const Vec3 left = point_of(in, names[1]) - point_of(in, names[0]);
  const Vec3 right = point_of(in, names[2]) - point_of(in, names[0]);
  const Vec3 up = left.cross(right);
  return up.norm() > 1 ? Vec3(up.normalized()) : in.frame->up;
}

}  // namespace

Status check_settle(const MeasureInput& input, const SettleSettings& settings) {
  if (!input.upper.surface || !input.lower.surface) {
    return Error{"both scans are needed to seat the arches", "", "add the upper and the lower scan"};
  }
  if (!input.frame) {
    std::string list;
    for (const std::string& name : absent_with_frame(input, {})) list += (list.empty() ? "" : ", ") + name;
    return Error{"the occlusal frame is not known", "", "place " + list};
  }
  return check_pins(input, settings);
}

SeatQuestion seat_question(const MeasureInput& in, const SettleSettings& settings) {
  SeatQuestion question;
  const std::vector<Vec3> upper = chewing_marks(in.points, Jaw::upper), lower = chewing_marks(in.points, Jaw::lower);
  Vec3 middle = Vec3::Zero();
  for (const Vec3& p : lower) middle += p / static_cast<double>(lower.size());
  question.upper = in.upper;
  question.lower = in.lower;
  question.upper_points = chewing_points_of(in.upper, upper, -in.frame->up);
  question.lower_points = chewing_points_of(in.lower, lower, lower_up(in));
  for (const Vec3& to : {Vec3(-in.frame->left), in.frame->left, in.frame->forward}) {
    question.watched.push_back(middle + kWatchedMm * to);
  }
  if (!settings.pinned.empty()) {
    question.conditions = [&in, &settings](const Pose& motion) { return settle_conditions(in, settings, motion); };
  }
  return question;
}

Error no_chewing_surfaces() {
  return Error{"the chewing surfaces were not found on the scans", "",
               "place cusps and edges of both arches, on the scans they belong to"};
}

Error nothing_seats() {
  return Error{"no position was found in which the arches seat", "", "check that both scans are of one patient"};
}

Error settling_cancelled() {
  return Error{"cancelled", "", ""};
}

}  // namespace intercusp
