#include "anatomy/arch_layout.h"

#include <cassert>
#include <cmath>

#include "anatomy/notation.h"

namespace intercusp {

void ArchTooth::shift(const Vec2& by) {
  contact_mesial += by;
  contact_distal += by;
  placed.origin.head<2>() += by;
}

void ArchTooth::stand() {
  const int iso = placed.iso();
  const double left = is_right(iso) ? -1.0 : 1.0;
  const Vec2 along = (contact_mesial - contact_distal).normalized();
  // Seen from above the outside of the left half is to the right of the way back.
  const Vec2 outward = left * Vec2(-along.y(), along.x());
  const Vec3 m0(along.x(), along.y(), 0), b0(outward.x(), outward.y(), 0), o0(0, 0, is_upper(iso) ? -1 : 1);
  const double t = radians(stance.inclination_deg), a = radians(stance.angulation_deg),
               r = radians(stance.rotation_deg);
  const Vec3 o1 = std::cos(t) * o0 + std::sin(t) * b0, b1 = std::cos(t) * b0 - std::sin(t) * o0;
  const Vec3 o2 = std::cos(a) * o1 + std::sin(a) * m0, m2 = std::cos(a) * m0 - std::sin(a) * o1;
  placed.axes.col(0) = std::cos(r) * m2 + std::sin(r) * b1;
  placed.axes.col(1) = std::cos(r) * b1 - std::sin(r) * m2;
  placed.axes.col(2) = o2;
  const Vec2 middle = 0.5 * (contact_mesial + contact_distal);
  placed.origin = Vec3(middle.x(), middle.y(), 0);
  placed.origin.z() = stance.level_mm - placed.world(marks.front().at).z();
}

const ArchTooth& tooth_of(const ArchTeeth& teeth, int iso) {
  for (const ArchTooth& tooth : teeth)
    if (tooth.iso() == iso) return tooth;
  assert(false);
  return teeth.front();
}

ArchTooth& tooth_of(ArchTeeth& teeth, int iso) {
  return const_cast<ArchTooth&>(tooth_of(static_cast<const ArchTeeth&>(teeth), iso));
}

std::vector<PlacedTooth> placed(const ArchTeeth& teeth) {
  std::vector<PlacedTooth> result;
  for (const ArchTooth& tooth : teeth) result.push_back(tooth.placed);
  return result;
}

Stance usual_stance(int iso) {
  constexpr std::array<double, 7> kUpperInclination{19, 17, 8, 3, 3, 5, 6};
  constexpr std::array<double, 7> kLowerInclination{11, 9, -4, -6, -7, -7, -8};
  constexpr std::array<double, 7> kUpperAngulation{2.5, 5, 5, 2, 2, 2, -2};
  constexpr std::array<double, 7> kLowerAngulation{0.5, 0.5, 3, 1, 1, 1, 2};
  constexpr std::array<double, 7> kUpperLevel{0, 0.6, -0.35, -0.05, -0.1, 0, 0.45};
  const auto i = static_cast<std::size_t>(position(iso) - 1);
  Stance s;
  s.inclination_deg = is_upper(iso) ? kUpperInclination[i] : kLowerInclination[i];
  s.angulation_deg = is_upper(iso) ? kUpperAngulation[i] : kLowerAngulation[i];
  s.level_mm = is_upper(iso) ? kUpperLevel[i] : 0.0;
  return s;
}

namespace {

/// Keeps the width of a tooth that has too little room on the line, and stands it off the line.
void squeeze(ArchTooth& tooth, double side) {
  const Vec2 middle = 0.5 * (tooth.contact_mesial + tooth.contact_distal);
  const Vec2 along = (tooth.contact_mesial - tooth.contact_distal).normalized();
  const Vec2 outward = side * Vec2(-along.y(), along.x());
  const Vec2 centre = middle + tooth.outwards_mm * outward;
  tooth.contact_mesial = centre + 0.5 * tooth.placed.form.width * along;
  tooth.contact_distal = centre - 0.5 * tooth.placed.form.width * along;
}

}  // namespace

void lay_out_half(ArchTeeth& teeth, double side, const ArchLine& line, const Vec2& apex, double spacing) {
  const bool upper = is_upper(teeth.front().iso());
  const int quarter = upper ? (side > 0 ? 2 : 1) : (side > 0 ? 3 : 4);
  double s = 0;
  for (int n = 1; n <= 7; ++n) {
    ArchTooth& tooth = tooth_of(teeth, 10 * quarter + n);
    const double next = line.after_chord(s, tooth.room_mm() * (n <= 5 ? spacing : 1.0));
    const auto at = [&](double along) {
      const Vec2 p = line.at(along);
      return Vec2(apex.x() + side * p.x(), apex.y() + p.y());
    };
    tooth.contact_mesial = at(s);
    tooth.contact_distal = at(next);
    if (tooth.room_share != 1 || tooth.outwards_mm != 0) squeeze(tooth, side);
    tooth.stand();
    s = next;
  }
}

}  // namespace intercusp
