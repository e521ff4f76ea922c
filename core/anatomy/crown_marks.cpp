#include "anatomy/crown_marks.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

#include "anatomy/gum.h"
#include "anatomy/notation.h"
#include "anatomy/tooth_table.h"

namespace intercusp {

double surface_along(const ScalarField& field, const Vec3& from, const Vec3& direction, double reach_mm,
                     double within_mm) {
  double a = 0, fa = field.value(from);
  if (fa <= 0) return 0;
  double b = a, fb = fa;
  while (fb > 0) {
    a = b;
    fa = fb;
    b += std::max(0.45 * fb, 0.01);
    if (b > reach_mm) return -1;
    fb = field.value(from + b * direction);
  }
  // Regula falsi (Illinois), every third step a halving so that both ends close in.
  for (int round = 0; round < 120 && b - a > within_mm; ++round) {
    const double secant = std::clamp((a * fb - b * fa) / (fb - fa), a, b);
    const double c = round % 3 == 2 ? 0.5 * (a + b) : secant, fc = field.value(from + c * direction);
    if (std::abs(fc) < 0.1 * within_mm) return c;
    if (fc > 0) {
      a = c;
      fa = fc;
      fb *= 0.5;
    } else {
      b = c;
      fb = fc;
      fa *= 0.5;
    }
  }
  return 0.5 * (a + b);
}

namespace {

class CrownField : public ScalarField {
 public:
  explicit CrownField(const CrownForm& form) : form_(form) {}
  double value(const Vec3& p) const override { return crown_value(form_, p); }

 private:
  const CrownForm& form_;
};

}  // namespace

Vec3 TopOfCrown::point(double x, double y) const {
  constexpr double kStart = 1.5;
  const double reach = form_.crown_length + kStart;
  const double t = surface_along(CrownField(form_), Vec3(x, y, kStart), -Vec3::UnitZ(), reach);
  return {x, y, t < 0 ? -form_.crown_length : kStart - t};
}

namespace {

/// Looks for landmarks on the top of a crown, seen from above.
class TopSearch {
 public:
  explicit TopSearch(const CrownForm& form) : form_(form), field_(form) {}

  Vec3 point(double x, double y) const { return TopOfCrown(form_).point(x, y); }

  /// Point of the top farthest in `direction`, by compass search from (x, y); along y only when `section`. An
  /// improvement must exceed rounding, so that every platform takes the same path.
  Vec3 farthest(const Vec3& direction, double x, double y, bool section) const {
    Vec3 best = point(x, y);
    for (double step = 0.4; step > 2e-5;) {
      bool moved = false;
      for (const auto& d : std::array<std::array<int, 2>, 4>{{{0, 1}, {0, -1}, {1, 0}, {-1, 0}}}) {
        if (section && d[0] != 0) continue;
        const Vec3 next = point(best.x() + step * d[0], best.y() + step * d[1]);
        if (direction.dot(next - best) <= 1e-11) continue;
        best = next;
        moved = true;
        break;
      }
      if (!moved) step *= 0.4;
    }
    return best;
  }

  Vec3 wall(double x, double z, double towards) const {
    const double start = form_.thickness;
    const double t = surface_along(field_, Vec3(x, towards * start, z), Vec3(0, -towards, 0), 2 * start);
    return {x, towards * (start - t), z};
  }

 private:
  const CrownForm& form_;
  CrownField field_;
};

using Marks = std::vector<CrownMark>;

void mark_front(const CrownForm& f, Marks& marks) {
  const TopSearch top(f);
  const Vec3 up = Vec3::UnitZ(), labial = Vec3::UnitY();
  const bool canine = is_canine(f.iso);
  marks.push_back(
      {canine ? "cusp_tip" : "incisal_edge_mid", top.farthest(up, canine ? f.edge.tip_x : 0, f.centre_y, !canine), up});
  const Vec3 mesial = Vec3(1, 0, 1).normalized(), distal = Vec3(-1, 0, 1).normalized();
  marks.push_back({"incisal_edge_mesial", top.farthest(mesial, 0.35 * f.width, f.centre_y, false), mesial});
  marks.push_back({"incisal_edge_distal", top.farthest(distal, -0.35 * f.width, f.centre_y, false), distal});
  const Vec3 angle = Vec3(0, 1, 1).normalized();
  marks.push_back({"incisal_edge_labial", top.farthest(angle, marks[0].at.x(), f.centre_y + 0.3, true), angle});
  marks.push_back({"labial_mid", top.wall(0, -0.5 * f.crown_length, 1), labial});
  marks.push_back({"gingival_mid", top.wall(0, gum_margin_z(f), 1), labial});
  marks.push_back({"cingulum", top.wall(0, -0.72 * f.crown_length, -1), -labial});
}

std::vector<std::string> cusp_names(int iso) {
  if (is_premolar(iso)) return {"buccal_cusp", is_upper(iso) ? "palatal_cusp" : "lingual_cusp"};
  if (is_upper(iso)) return {"mesiobuccal_cusp", "distobuccal_cusp", "mesiopalatal_cusp", "distopalatal_cusp"};
  return {"mesiobuccal_cusp", "distobuccal_cusp", "mesiolingual_cusp", "distolingual_cusp", "distal_cusp"};
}

void mark_back(const CrownForm& f, Marks& marks) {
  const TopSearch top(f);
  const Vec3 up = Vec3::UnitZ();
  const std::vector<std::string> names = cusp_names(f.iso);
  for (std::size_t i = 0; i < f.cusps.size(); ++i) {
    const Vec3& tip = f.cusps[i].tip;
    marks.push_back({names[i], top.farthest(up, tip.x(), tip.y() + f.centre_y, false), up});
  }
  if (is_premolar(f.iso)) {
    const double between = 0.5 * (f.cusps[0].tip.y() + f.cusps[1].tip.y()) + f.centre_y;
    marks.push_back({"central_groove", top.farthest(-up, 0, between, true), up});
    return;
  }
  const Vec3 rim = Vec3(0, 1, 1).normalized();
  marks.push_back({"buccal_groove", top.farthest(rim, f.grooves[0].x, 0.35 * f.thickness, true), rim});
  const double centre = is_upper(f.iso) ? 0.06 * f.width : 0.0;
  marks.push_back({"central_fossa", top.farthest(-up, centre, f.centre_y, false), up});
}

/// Roots: straight along the long axis, spread where there are several (common anatomy, drawn by eye; lengths from the
/// table).
void mark_roots(const CrownForm& f, Marks& marks) {
  const ToothSize size = *tooth_size(f.iso);
  const double scale = f.width / size.mesiodistal, w = f.width, b = f.thickness;
  const auto add = [&](const char* name, double x, double y, double length) {
    marks.push_back({name, Vec3(x * w, f.centre_y + y * b, -f.crown_length - scale * length), Vec3::Zero()});
  };
  const bool inner_longest = size.inner_root_length > size.root_length;
  if (is_molar(f.iso) && is_upper(f.iso)) {
    add("apex", 0, -.3, std::max(size.inner_root_length, size.root_length));
    add("apex_mesiobuccal", .2, .24, size.root_length);
    add("apex_distobuccal", -.24, .22, size.root_length);
    add("apex_palatal", 0, -.3, size.inner_root_length);
  } else if (is_molar(f.iso)) {
    add("apex", .2, 0, size.root_length);
    add("apex_mesial", .2, 0, size.root_length);
    add("apex_distal", -.28, 0, size.root_length);
  } else if (f.iso == 14 || f.iso == 24) {
    add("apex", -.05, inner_longest ? -.22 : .22, size.root_length);
    add("apex_buccal", -.05, .22, size.root_length);
    add("apex_palatal", -.05, -.22, size.inner_root_length);
  } else {
    add("apex", -.08, -.05, size.root_length);
  }
}

}  // namespace

std::vector<CrownMark> crown_marks(const CrownForm& form) {
  Marks marks;
  if (form.front) {
    mark_front(form, marks);
  } else {
    mark_back(form, marks);
  }
  mark_roots(form, marks);
  return marks;
}

}  // namespace intercusp
