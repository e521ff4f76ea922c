#include "anatomy/arch_template.h"

#include <cassert>
#include <cmath>

#include "anatomy/crown_marks.h"
#include "anatomy/notation.h"
#include "anatomy/seating.h"

namespace intercusp {

namespace {

constexpr std::size_t kDirections = 420;
constexpr double kCovered = 0.03;  ///< mm inside the arch at which a point of a crown no longer shows

class BareCrown : public ScalarField {
 public:
  explicit BareCrown(const CrownForm& form) : form_(form) {}
  double value(const Vec3& p) const override { return crown_value(form_, p); }
  Vec3 outward(const Vec3& p) const {
    constexpr double h = 1e-3;
    Vec3 slope;
    for (int k = 0; k < 3; ++k) slope[k] = value(p + h * Vec3::Unit(k)) - value(p - h * Vec3::Unit(k));
    return slope.normalized();
  }

 private:
  const CrownForm& form_;
};

/// Evenly spread unit vectors (Fibonacci lattice), in an order whose beginnings are spread as well.
Vec3 spread_direction(std::size_t i) {
  constexpr std::size_t kStride = 157;  // prime to kDirections, about its golden section
  const double turn = kPi * (3 - std::sqrt(5.0));
  const std::size_t k = i * kStride % kDirections;
  const double z = 1 - (2 * static_cast<double>(k) + 1) / kDirections, r = std::sqrt(1 - z * z);
  return {r * std::cos(turn * static_cast<double>(k)), r * std::sin(turn * static_cast<double>(k)), z};
}

void add_points(TemplateCrown& crown, const ArchField& arch) {
  const CrownForm& form = crown.placed.form;
  const BareCrown bare(form);
  const Vec3 centre(0, form.centre_y, -0.5 * form.crown_length);
  const double away = crown.placed.ball_radius() + 1;
  for (std::size_t i = 0; i < kDirections; ++i) {
    const Vec3 out = spread_direction(i);
    const double t = surface_along(bare, centre + away * out, -out, away);
    if (t < 0) continue;
    const Vec3 p = centre + (away - t) * out;
    if (p.z() < -form.crown_length || arch.value(crown.placed.world(p)) < -kCovered) continue;
    crown.points.push_back(p);
    crown.normals.push_back(bare.outward(p));
  }
}

TemplateCrown template_crown(const ArchTooth& tooth) {
  TemplateCrown crown;
  crown.placed = tooth.placed;
  for (const CrownMark& mark : tooth.marks)
    if (!mark.outward.isZero()) crown.marks.push_back(mark);
  return crown;
}

/// Contacts lie midway between the levels of the two neighbours.
void add_contacts(ArchTemplate& made, const ArchTeeth& teeth) {
  const auto level = [&](std::size_t i) { return teeth[i].placed.origin.z(); };
  for (std::size_t i = 0; i < teeth.size(); ++i) {
    const bool right = is_right(teeth[i].iso());
    // The row begins at the back on the right: there the mesial neighbour is the next one.
    const std::size_t next = i + 1 < teeth.size() ? i + 1 : i, last = i > 0 ? i - 1 : i;
    const double z_mesial = 0.5 * (level(i) + level(right ? next : last));
    const double z_distal = 0.5 * (level(i) + level(right ? last : next));
    const Vec2 &m = teeth[i].contact_mesial, &d = teeth[i].contact_distal;
    made.crowns[i].contact_mesial = teeth[i].placed.local(Vec3(m.x(), m.y(), z_mesial));
    made.crowns[i].contact_distal = teeth[i].placed.local(Vec3(d.x(), d.y(), z_distal));
  }
}

ArchTemplate make_template(const ArchTeeth& teeth, const ArchField& arch) {
  ArchTemplate made;
  made.upper = arch.upper();
  for (const ArchTooth& tooth : teeth) made.crowns.push_back(template_crown(tooth));
  add_contacts(made, teeth);
  const std::size_t half = made.crowns.size() / 2;
  for (std::size_t i = 0; i < half; ++i) {
    TemplateCrown &right = made.crowns[i], &left = made.crowns[made.crowns.size() - 1 - i];
    add_points(right, arch);
    // Both sides are the same in their own axes.
    left.points = right.points;
    left.normals = right.normals;
  }
  return made;
}

std::array<ArchTemplate, 2> both_templates() {
  JawRecipe plain;
  plain.irregularity = 0;
  const auto seated = seat_arches(plain);
  assert(seated.ok());
  return {make_template(seated.value().lower, seated.value().lower_field),
          make_template(seated.value().upper, seated.value().upper_field)};
}

}  // namespace

const ArchTemplate& arch_template(bool upper) {
  static const std::array<ArchTemplate, 2> kBoth = both_templates();
  return kBoth[upper ? 1 : 0];
}

}  // namespace intercusp
