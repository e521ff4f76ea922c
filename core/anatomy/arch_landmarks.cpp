#include <algorithm>
#include <array>
#include <limits>
#include <optional>
#include <string>

#include "anatomy/notation.h"
#include "anatomy/seating.h"

namespace intercusp {

namespace {

/// The surface on the line along `outward` through `near`, seen from outside; empty when the line misses it.
std::optional<Vec3> met_surface(const ArchField& field, const Vec3& near, const Vec3& outward, double away) {
  // Starts farther out where a neighbour or the gum is in the way.
  while (away < 6 && field.value(near + away * outward) <= 0) away += 0.4;
  const double t = surface_along(field, near + away * outward, -outward, 2 * away + 2);
  if (t < 0) return std::nullopt;
  return near + (away - t) * outward;
}

Vec3 on_surface(const ArchField& field, const Vec3& near, const Vec3& outward, double away) {
  return met_surface(field, near, outward, away).value_or(near);
}

/// Depth below `tip_z` at which a probe straight from the chewing side meets the arch at the contact point; endless
/// when it passes between the crowns.
double probed_depth(const ArchField& field, const Vec2& contact, double tip_z) {
  const double side = field.upper() ? -1.0 : 1.0;
  const auto met = met_surface(field, Vec3(contact.x(), contact.y(), tip_z), Vec3(0, 0, side), 6.0);
  return met ? side * (tip_z - met->z()) : std::numeric_limits<double>::infinity();
}

/// 0, 1, -1, 2, -2, ...
int outwards_from_zero(int k) {
  return k % 2 == 1 ? (k + 1) / 2 : -k / 2;
}

/// Where a neighbour would touch: the most distal point of the crown about the height of its contact; where it is flat
/// there, the middle of it.
Vec3 most_distal(const ArchField& field, const PlacedTooth& tooth) {
  const CrownForm& form = tooth.form;
  Vec3 best = tooth.world(Vec3::Zero());
  for (int i = 0; i <= 12; ++i) {
    for (int j = 0; j <= 8; ++j) {
      const double y = form.centre_y + 0.05 * form.thickness * outwards_from_zero(i);
      const double z = 0.2 * outwards_from_zero(j) - form.contact_depth_distal;
      const Vec3 start = tooth.world(Vec3(-0.5 * form.width, y, z));
      const auto at = met_surface(field, start, -tooth.mesial(), 1.0);
      if (at && tooth.mesial().dot(*at - best) < -1e-3) best = *at;
    }
  }
  return best;
}

/// Mesial and distal contact as a probe finds them from the chewing side. Between teeth of different height or tilt the
/// probe would slip past the contact to the gum: it stops at the height of the crown's contact, and not far below the
/// crown's other one, so that their distance stays the width of the tooth.
std::array<Vec3, 2> contact_points(const ArchField& field, const ArchTooth& tooth) {
  constexpr double kSlips = 0.5, kUneven = 2.0;
  const CrownForm& form = tooth.placed.form;
  const double tip = tooth.stance.level_mm, down = field.upper() ? 1 : -1;
  const bool last = position(tooth.iso()) == 7;
  std::array<Vec3, 2> at{Vec3(tooth.contact_mesial.x(), tooth.contact_mesial.y(), tip),
                         Vec3(tooth.contact_distal.x(), tooth.contact_distal.y(), tip)};
  if (last) at[1] = most_distal(field, tooth.placed);
  std::array<double, 2> depth{probed_depth(field, tooth.contact_mesial, tip),
                              last ? down * (at[1].z() - tip) : probed_depth(field, tooth.contact_distal, tip)};
  depth[0] = std::min(depth[0], form.contact_depth_mesial + kSlips);
  depth[1] = std::min(depth[1], form.contact_depth_distal + kSlips);
  const double most = std::min(depth[0], depth[1]) + kUneven;
  for (std::size_t i = 0; i < (last ? 1 : 2); ++i) at[i].z() = tip + down * std::min(depth[i], most);
  return at;
}

}  // namespace

LandmarkSet arch_landmarks(const ArchTeeth& teeth, const ArchField& field) {
  LandmarkSet set;
  for (const ArchTooth& tooth : teeth) {
    const std::string prefix = std::to_string(tooth.iso()) + ".";
    for (const CrownMark& mark : tooth.marks) {
      Vec3 at = tooth.placed.world(mark.at);
      if (!mark.outward.isZero()) at = on_surface(field, at, (tooth.placed.axes * mark.outward).eval(), 0.8);
      set[prefix + mark.feature].at = at;
    }
    const auto [mesial, distal] = contact_points(field, tooth);
    set[prefix + "contact_mesial"].at = mesial;
    set[prefix + "contact_distal"].at = distal;
  }
  return set;
}

}  // namespace intercusp
