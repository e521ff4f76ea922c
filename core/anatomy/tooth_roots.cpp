#include "anatomy/tooth_roots.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <string>

#include "anatomy/isosurface.h"
#include "anatomy/notation.h"
#include "anatomy/tooth_table.h"
#include "anatomy/vertex_snap.h"

namespace intercusp {

namespace {

constexpr double kInCrown = 1.5;  ///< how far a root reaches up inside the crown, mm

bool ends_with(const std::string& text, const char* tail) {
  const std::string t = tail;
  return text.size() >= t.size() && text.compare(text.size() - t.size(), t.size(), t) == 0;
}

struct Neck {
  double mesiodistal, buccolingual;  ///< half widths
  Vec2 centre = Vec2::Zero();        ///< tooth axes
};

/// From the neck to the apex, thick for long and then tapering.
RootForm root_between(const ArchTooth& tooth, const Neck& neck, const Vec3& apex, double tip_mm) {
  RootForm root;
  root.up = tooth.placed.buccal();
  root.tip_mm = tip_mm;
  const Vec3 top(neck.centre.x(), neck.centre.y(), -tooth.placed.form.crown_length);
  const Vec3 along = (apex - top).normalized(), end = apex - tip_mm * along;
  root.neck = tooth.placed.world(top);
  root.apex = tooth.placed.world(apex);
  root.knots.push_back(
      {tooth.placed.world(Vec3(top + Vec3(0, 0, kInCrown))), 0.93 * neck.mesiodistal, 0.93 * neck.buccolingual});
  constexpr double kTaper[][2] = {{0, 1}, {0.25, 0.95}, {0.5, 0.83}, {0.7, 0.67}, {0.87, 0.48}, {1, 0.3}};
  for (const auto& [share, width] : kTaper)
    root.knots.push_back({tooth.placed.world(Vec3(top + share * (end - top))),
                          std::max(width * neck.mesiodistal, 0.75 * tip_mm),
                          std::max(width * neck.buccolingual, 0.75 * tip_mm)});
  return root;
}

RootForm trunk_of(const ArchTooth& tooth, const Neck& neck, double length) {
  RootForm trunk =
      root_between(tooth, neck, Vec3(neck.centre.x(), neck.centre.y(), -tooth.placed.form.crown_length - length), 1.5);
  trunk.trunk = true;
  for (std::size_t i = 1; i < trunk.knots.size(); ++i) {
    const double width = 1 - 0.03 * static_cast<double>(i);
    trunk.knots[i].across = width * neck.mesiodistal;
    trunk.knots[i].upward = width * neck.buccolingual;
  }
  return trunk;
}

/// Landmarks of separate roots; the tooth's one apex where there is but one root.
std::vector<CrownMark> apices(const ArchTooth& tooth) {
  std::vector<CrownMark> several, one;
  for (const CrownMark& mark : tooth.marks) {
    if (mark.feature == "apex") one.push_back(mark);
    if (mark.feature.rfind("apex_", 0) == 0) several.push_back(mark);
  }
  return several.empty() ? one : several;
}

/// Where a root leaves the trunk and how thick it is there.
Neck origin_of(const Neck& neck, const CrownMark& apex, bool upper) {
  Neck own = neck;
  const double md = neck.mesiodistal, bl = neck.buccolingual;
  if (ends_with(apex.feature, "palatal") && upper) {
    own = {0.62 * md, 0.42 * bl, neck.centre + Vec2(0, -0.5 * bl)};
  } else if (ends_with(apex.feature, "buccal") && std::abs(apex.at.x()) > 1) {
    own = {0.44 * md, 0.5 * bl, neck.centre + Vec2(apex.at.x() > 0 ? 0.48 * md : -0.48 * md, 0.42 * bl)};
  } else if (ends_with(apex.feature, "buccal")) {
    own = {0.85 * md, 0.46 * bl, neck.centre + Vec2(0, 0.45 * bl)};
  } else {
    own = {0.44 * md, 0.88 * bl, neck.centre + Vec2(apex.at.x() > 0 ? 0.5 * md : -0.5 * md, 0)};
  }
  return own;
}

/// Teeth are placed with library functions whose last bit differs between platforms. Rounded to a millionth of a
/// millimetre, the bone built on them, and every point that is looked for on it, is the same everywhere.
double rounded(double x) {
  constexpr double kSteps = 1 << 20;
  return std::floor(x * kSteps + 0.5) / kSteps;
}

Vec3 rounded(const Vec3& p) {
  return {rounded(p.x()), rounded(p.y()), rounded(p.z())};
}

RootForm rounded(RootForm root) {
  for (TubeKnot& knot : root.knots) knot = {rounded(knot.at), rounded(knot.across), rounded(knot.upward)};
  root.up = rounded(root.up);
  root.neck = rounded(root.neck);
  root.apex = rounded(root.apex);
  return root;
}

/// All roots of one tooth.
class RootSolid : public ScalarField {
 public:
  explicit RootSolid(const std::vector<RootForm>& roots) : solid_([](const Vec3& p) { return p; }) {
    for (const RootForm& root : roots) {
      auto tube = std::make_unique<Tube>(root.knots, root.up, root.tip_mm);
      box_.extend(tube->box());
      solid_.add(std::move(tube), 1.2, Space::patient);
      if (!root.trunk) tips_.push_back(root.apex);
    }
    solid_.finish();
    inside_ = roots.front().knots[1].at;
    const Vec3 more = Vec3::Constant(1.5);
    box_ = Box(Vec3(box_.min() - more), Vec3(box_.max() + more));
  }
  double value(const Vec3& p) const override { return solid_.value(p); }
  const Box& box() const { return box_; }
  const Vec3& inside() const { return inside_; }
  const std::vector<Vec3>& tips() const { return tips_; }

 private:
  SolidProgram solid_;
  Box box_;
  Vec3 inside_ = Vec3::Zero();
  std::vector<Vec3> tips_;
};

/// Roots of crowded or tilted teeth give way to each other half and half, with a membrane between them.
class RootsBesideOthers : public ScalarField {
 public:
  explicit RootsBesideOthers(const RootSolid& own) : own_(own) {}
  double value(const Vec3& p) const override {
    constexpr double kMembrane = 0.25;  // mm, as around every root (from memory)
    double result = own_.value(p);
    const double mine = result;
    for (const RootSolid* other : others) result = std::max(result, 0.5 * (mine - other->value(p)) + 0.5 * kMembrane);
    return result;
  }
  std::vector<const RootSolid*> others;

 private:
  const RootSolid& own_;
};

}  // namespace

std::vector<RootForm> roots_of(const ArchTooth& tooth) {
  const CrownForm& form = tooth.placed.form;
  const ToothSize size = *tooth_size(tooth.iso());
  const double scale = form.width / size.mesiodistal;
  const std::array<double, 4> wall = form.walls.at(form.crown_length);
  const Neck neck{0.5 * (wall[CrownWalls::mesial] + wall[CrownWalls::distal]),
                  0.5 * (wall[CrownWalls::buccal] + wall[CrownWalls::lingual]),
                  Vec2(0.5 * (wall[CrownWalls::mesial] - wall[CrownWalls::distal]),
                       form.centre_y + 0.5 * (wall[CrownWalls::buccal] - wall[CrownWalls::lingual]))};
  const std::vector<CrownMark> tips = apices(tooth);
  if (tips.size() == 1) return {rounded(root_between(tooth, neck, tips[0].at, 0.8))};
  const bool molar = is_molar(tooth.iso());
  std::vector<RootForm> roots{trunk_of(tooth, neck, (molar ? 0.32 : 0.5) * scale * size.root_length)};
  for (const CrownMark& tip : tips)
    roots.push_back(root_between(tooth, origin_of(neck, tip, is_upper(tooth.iso())), tip.at, 0.7));
  for (RootForm& root : roots) root = rounded(std::move(root));
  return roots;
}

Mesh root_mesh(const ArchTeeth& teeth, double step) {
  std::vector<std::unique_ptr<RootSolid>> solids;
  for (const ArchTooth& tooth : teeth) solids.push_back(std::make_unique<RootSolid>(roots_of(tooth)));
  Mesh all;
  for (std::size_t i = 0; i < solids.size(); ++i) {
    RootsBesideOthers field(*solids[i]);
    for (std::size_t k = 0; k < solids.size(); ++k)
      if (k != i && solids[k]->box().intersects(solids[i]->box())) field.others.push_back(solids[k].get());
    Mesh mesh = polygonise(field, solids[i]->box(), step, solids[i]->inside());
    snap_and_untangle(mesh, solids[i]->tips());
    const auto first = static_cast<std::uint32_t>(all.positions.size());
    all.positions.insert(all.positions.end(), mesh.positions.begin(), mesh.positions.end());
    for (const Triangle& t : mesh.triangles) all.triangles.push_back({t[0] + first, t[1] + first, t[2] + first});
  }
  return all;
}

ShapePtr bone_around(const RootForm& root, double wall_mm, double below_neck_mm, double beyond_mm) {
  const Vec3 along = (root.apex - root.neck).normalized();
  const double length = (root.apex - root.neck).norm();
  std::vector<TubeKnot> knots;
  for (const TubeKnot& k : root.knots) {
    const double depth = (k.at - root.neck).dot(along);
    if (depth < below_neck_mm + 0.5 && depth < 0.9 * length) continue;
    knots.push_back({k.at, k.across + wall_mm, k.upward + wall_mm});
  }
  TubeKnot top = root.knots[1];
  knots.insert(knots.begin(),
               {Vec3(root.neck + below_neck_mm * along), 0.98 * top.across + wall_mm, 0.98 * top.upward + wall_mm});
  if (knots.size() < 2)
    knots.push_back({root.apex, root.knots.back().across + wall_mm, root.knots.back().upward + wall_mm});
  return std::make_unique<Tube>(knots, root.up, root.tip_mm + beyond_mm);
}

void add_bone_around(SolidProgram& solid, const ArchTeeth& teeth, const Vec3& wall_neck_beyond_mm, double blend_mm) {
  const auto around = [&](const RootForm& root) {
    return bone_around(root, wall_neck_beyond_mm.x(), wall_neck_beyond_mm.y(), wall_neck_beyond_mm.z());
  };
  const int right = is_upper(teeth.front().iso()) ? 10 : 40, left = is_upper(teeth.front().iso()) ? 20 : 30;
  for (int n = 1; n <= 7; ++n) {
    const std::vector<RootForm> a = roots_of(tooth_of(teeth, right + n)), b = roots_of(tooth_of(teeth, left + n));
    for (std::size_t i = 0; i < a.size(); ++i) {
      if (n <= 3) {
        solid.add(std::make_unique<Joined>(around(a[i]), around(b[i]), blend_mm), blend_mm, Space::patient);
      } else {
        solid.add(around(a[i]), blend_mm, Space::patient);
        solid.add(around(b[i]), blend_mm, Space::patient);
      }
    }
  }
}

ShapePtr ridge_between(const ArchTeeth& teeth, double depth, double height) {
  std::vector<TubeKnot> knots;
  for (const ArchTooth& tooth : teeth) {
    const std::vector<RootForm> roots = roots_of(tooth);
    Vec3 apex = Vec3::Zero();
    double count = 0;
    for (const RootForm& root : roots)
      if (!root.trunk) {
        apex += root.apex;
        ++count;
      }
    apex /= count;
    const Vec3& neck = roots.front().neck;
    // Half as thick as the neck is deep from cheek to tongue, and a plate of bone on either side.
    knots.push_back({Vec3(neck + depth * (apex - neck)), 0.85 * roots.front().knots[1].upward + 1.5,
                     height * (apex - neck).norm()});
  }
  return std::make_unique<Tube>(knots, Vec3::UnitZ(), 3);
}

}  // namespace intercusp
