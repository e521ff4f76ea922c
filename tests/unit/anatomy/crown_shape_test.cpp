// Crowns held to measure on the mesh itself: widths by slicing, number of cusps, depth of grooves.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <random>

#include "anatomy/arch_field.h"
#include "anatomy/notation.h"
#include "anatomy/sample_jaws.h"
#include "anatomy/seating.h"
#include "anatomy/smooth.h"
#include "anatomy/tooth_table.h"

using namespace intercusp;

namespace {

/// The plain Class I jaws and where each tooth stands in them.
struct PlainJaws {
  SampleJaws jaws;
  ArchTeeth upper, lower;
};

const PlainJaws& plain_jaws() {
  static const PlainJaws kJaws = [] {
    JawRecipe recipe = find_sample("class1").value();
    recipe.irregularity = 0;
    recipe.triangles = 40000;
    const SeatedArches seated = seat_arches(recipe).value();
    return PlainJaws{make_sample(recipe).value(), seated.upper, seated.lower};
  }();
  return kJaws;
}

const PlacedTooth& placed_tooth(int iso) {
  const PlainJaws& plain = plain_jaws();
  return tooth_of(is_upper(iso) ? plain.upper : plain.lower, iso).placed;
}

const Mesh& mesh_of(int iso) {
  return plain_jaws().jaws.bodies[is_upper(iso) ? 0 : 1].mesh;
}

std::vector<int> all_teeth() {
  std::vector<int> teeth;
  for (int iso = 11; iso <= 47; ++iso)
    if (is_permanent_tooth(iso) && position(iso) <= 7) teeth.push_back(iso);
  return teeth;
}

/// Gum is painted much redder than it is green, enamel is not.
bool is_gum(const Mesh& mesh, std::size_t triangle) {
  const Colour& c = mesh.colours[mesh.triangles[triangle][0]];
  return c[0] > c[1] + 40;
}

using Segment = std::array<Vec3, 2>;

/// Cut of the arch by the plane z = -depth of the tooth, in tooth axes.
std::vector<Segment> slice(int iso, double depth) {
  const PlacedTooth& tooth = placed_tooth(iso);
  const Mesh& mesh = mesh_of(iso);
  std::vector<Segment> segments;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    std::array<Vec3, 3> p;
    for (int k = 0; k < 3; ++k) p[static_cast<std::size_t>(k)] = tooth.local(mesh.corner(t, k)) + Vec3(0, 0, depth);
    if (p[0].head<2>().norm() > 12 || is_gum(mesh, t)) continue;
    std::vector<Vec3> cut;
    for (std::size_t k = 0; k < 3; ++k) {
      const Vec3 &a = p[k], &b = p[(k + 1) % 3];
      if ((a.z() < 0) != (b.z() < 0)) cut.push_back(a + (b - a) * (a.z() / (a.z() - b.z())));
    }
    if (cut.size() == 2) segments.push_back({cut[0], cut[1]});
  }
  return segments;
}

struct Extent {
  double low = 1e9, high = -1e9;
  void add(double v) {
    low = std::min(low, v);
    high = std::max(high, v);
  }
  double size() const { return high - low; }
};

/// How far a slice reaches in y where it crosses the line x = at, near the tooth.
Extent across(const std::vector<Segment>& segments, double at, double centre_y, double reach) {
  Extent extent;
  for (const Segment& s : segments) {
    if ((s[0].x() < at) == (s[1].x() < at)) continue;
    const double y = s[0].y() + (s[1].y() - s[0].y()) * (at - s[0].x()) / (s[1].x() - s[0].x());
    if (std::abs(y - centre_y) < reach) extent.add(y);
  }
  return extent;
}

double buccolingual_width(int iso) {
  const CrownForm& form = placed_tooth(iso).form;
  Extent all;
  for (double part = 0.2; part < 0.9; part += 0.06) {
    const auto segments = slice(iso, part * form.crown_length);
    for (double x = -0.2 * form.width; x <= 0.2 * form.width; x += 0.1 * form.width) {
      const Extent e = across(segments, x, form.centre_y, 0.6 * form.thickness);
      if (e.size() > 0) {
        all.add(e.low);
        all.add(e.high);
      }
    }
  }
  return all.size();
}

/// The crown without its neighbours.
class AloneField : public ScalarField {
 public:
  explicit AloneField(const CrownForm& form) : form_(form) {}
  double value(const Vec3& p) const override { return crown_value(form_, p); }

 private:
  const CrownForm& form_;
};

/// Greatest extent from mesial to distal over slices of the crown alone, meshed for itself.
double mesiodistal_width(int iso) {
  const CrownForm form = crown_form(iso);
  const AloneField field(form);
  const Box box(Vec3(-7, -8, -form.crown_length - 4), Vec3(7, 8, 1.5));
  const Mesh mesh = polygonise(field, box, 0.4, Vec3(0, form.centre_y, -0.6 * form.crown_length));
  Extent extent;
  for (double depth = 0.15 * form.crown_length; depth < form.crown_length; depth += 0.3)
    for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
      for (int k = 0; k < 3; ++k) {
        const Vec3 a = mesh.corner(t, k) + Vec3(0, 0, depth), b = mesh.corner(t, (k + 1) % 3) + Vec3(0, 0, depth);
        if ((a.z() < 0) != (b.z() < 0)) extent.add((a + (b - a) * (a.z() / (a.z() - b.z()))).x());
      }
  return extent.size();
}

double between_contacts(int iso) {
  const LandmarkSet& set = plain_jaws().jaws.landmarks;
  const std::string prefix = std::to_string(iso) + ".";
  const Vec3 across = set.at(prefix + "contact_mesial").at - set.at(prefix + "contact_distal").at;
  return std::abs(across.dot(placed_tooth(iso).mesial()));
}

/// Number of hilltops of the crown's top that stand out by more than `prominence` from the saddle to a higher one.
int hilltops(int iso, double prominence) {
  const PlacedTooth& tooth = placed_tooth(iso);
  const Mesh& mesh = mesh_of(iso);
  const CrownForm& form = tooth.form;
  std::vector<double> height(mesh.positions.size(), -1e9);
  for (std::size_t i = 0; i < mesh.positions.size(); ++i) {
    const Vec3 q = tooth.local(mesh.positions[i].cast<double>());
    if (std::abs(q.x()) < 0.46 * form.width && std::abs(q.y() - form.centre_y) < 0.5 * form.thickness)
      height[i] = q.z();
  }
  std::map<std::uint32_t, std::vector<std::uint32_t>> neighbours;
  for (const Triangle& t : mesh.triangles)
    for (std::size_t k = 0; k < 3; ++k)
      if (height[t[k]] > -0.5 * form.crown_length) neighbours[t[k]].push_back(t[(k + 1) % 3]);
  std::vector<std::uint32_t> order;
  for (const auto& entry : neighbours) order.push_back(entry.first);
  std::stable_sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) { return height[a] > height[b]; });
  std::map<std::uint32_t, std::uint32_t> up;  // towards the hilltop of the vertex
  const auto top = [&](std::uint32_t v) {
    while (up.at(v) != v) v = up.at(v);
    return v;
  };
  int count = 0;
  for (const std::uint32_t v : order) {
    std::uint32_t best = v;
    up[v] = v;
    for (const std::uint32_t n : neighbours.at(v)) {
      if (!up.count(n)) continue;
      std::uint32_t other = top(n);
      if (other == best) continue;
      if (height[other] > height[best]) std::swap(other, best);
      if (height[other] - height[v] > prominence) ++count;  // a hill ends here
      up[other] = best;
    }
    up[v] = best;
  }
  return count + 1;
}

const Vec3& landmark(const std::string& name) {
  return plain_jaws().jaws.landmarks.at(name).at;
}

/// How far a point lies below the lower of two cusps, along the tooth.
double below_cusps(int iso, const std::string& point, const std::string& a, const std::string& b) {
  const std::string prefix = std::to_string(iso) + ".";
  const Vec3 up = placed_tooth(iso).occlusal();
  const double lower = std::min(up.dot(landmark(prefix + a)), up.dot(landmark(prefix + b)));
  return lower - up.dot(landmark(prefix + point));
}

}  // namespace

// Widths: Ash & Nelson, Wheeler's Dental Anatomy, Table 1-1 (upper incisors looked up, the rest from memory).
TEST_CASE("sliced crowns have the widths of the tooth table within 0.2 mm") {
  for (const int iso : all_teeth()) {
    CAPTURE(iso);
    const ToothSize size = *tooth_size(iso);
    CHECK(std::abs(mesiodistal_width(iso) - size.mesiodistal) < 0.2);
    CHECK(std::abs(between_contacts(iso) - size.mesiodistal) < 0.2);
    CHECK(std::abs(buccolingual_width(iso) - size.buccolingual) < 0.2);
  }
}

// Two cusps on premolars, four on upper molars and lower second molars, five on lower first molars: textbook anatomy.
TEST_CASE("every back tooth shows its number of cusps on the mesh") {
  for (const int iso : all_teeth()) {
    if (!is_premolar(iso) && !is_molar(iso)) continue;
    CAPTURE(iso);
    const int expected = is_premolar(iso) ? 2 : (iso == 36 || iso == 46) ? 5 : 4;
    CHECK(hilltops(iso, 0.2) == expected);
  }
}

TEST_CASE("grooves are at least half a millimetre deep") {
  for (const int iso : all_teeth()) {
    CAPTURE(iso);
    if (is_premolar(iso))
      CHECK(below_cusps(iso, "central_groove", "buccal_cusp", is_upper(iso) ? "palatal_cusp" : "lingual_cusp") >= 0.5);
    if (!is_molar(iso)) continue;
    CHECK(below_cusps(iso, "buccal_groove", "mesiobuccal_cusp", "distobuccal_cusp") >= 0.5);
    CHECK(below_cusps(iso, "central_fossa", "mesiobuccal_cusp",
                      is_upper(iso) ? "mesiopalatal_cusp" : "mesiolingual_cusp") >= 0.5);
  }
}

TEST_CASE("crown landmarks keep the table's crown and root lengths") {
  for (const int iso : all_teeth()) {
    CAPTURE(iso);
    const ToothSize size = *tooth_size(iso);
    const std::string prefix = std::to_string(iso) + ".";
    const std::string tip = is_incisor(iso)    ? "incisal_edge_mid"
                            : is_canine(iso)   ? "cusp_tip"
                            : is_premolar(iso) ? "buccal_cusp"
                                               : "mesiobuccal_cusp";
    const Vec3 up = placed_tooth(iso).occlusal();
    const double length = up.dot(landmark(prefix + tip) - landmark(prefix + "apex"));
    const double root = std::max(size.root_length, size.inner_root_length);
    CHECK(std::abs(length - size.crown_length - root) < 0.6);
  }
}

TEST_CASE("crowns: a value that is only wanted below a limit is the value there, and above it no less than the limit") {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> across(-9, 9), along(-14, 3), limits(-1, 4);
  int below = 0;
  for (const int iso : {11, 13, 15, 16, 31, 34, 46}) {
    const CrownForm form = crown_form(iso);
    for (int i = 0; i < 3000; ++i) {
      const Vec3 p(across(random), across(random), along(random));
      const double limit = limits(random), whole = crown_value(form, p), some = crown_value_below(form, p, limit);
      if (whole < limit) {
        REQUIRE(some == whole);
        ++below;
      } else {
        REQUIRE(some >= limit);
      }
    }
  }
  CHECK(below > 1000);
}

TEST_CASE("crowns: where no crown stands near, none is met at any height") {
  std::vector<PlacedTooth> teeth;
  for (const int iso : {17, 16, 15, 14, 13, 12, 11, 21, 22, 23, 24, 25, 26, 27}) teeth.push_back(placed_tooth(iso));
  const CrownRow row(teeth);
  int open = 0, met = 0;
  for (double x = -45; x <= 45; x += 1.5)
    for (double y = -15; y <= 65; y += 1.5)
      for (double z = -15; z <= 15; z += 1) {
        const double value = row.value(Vec3(x, y, z));
        if (!row.stands_near(x, y)) {
          REQUIRE(value > 0);
          ++open;
        } else if (value <= 0) {
          ++met;
        }
      }
  CHECK(open > 1000);
  CHECK(met > 100);
}

TEST_CASE("gum: a value that is only wanted below a limit is the value there, and above it no less than the limit") {
  std::mt19937 random(12);
  std::uniform_real_distribution<double> across(-30, 30), along(-25, 6), limits(-1, 12);
  int below = 0, above = 0;
  const auto hold = [&](double whole, double some, double limit) {
    if (whole < limit) {
      REQUIRE(some == whole);
      ++below;
    } else {
      REQUIRE(some >= limit);
      ++above;
    }
  };
  for (const int iso : {11, 13, 15, 17, 31, 34, 47}) {
    for (const GumCollar& collar : {gum_collar(placed_tooth(iso)), ridge_end(placed_tooth(iso))}) {
      for (int i = 0; i < 3000; ++i) {
        const Vec3 p = collar.origin + collar.axes * Vec3(across(random), across(random), along(random));
        const double limit = limits(random);
        hold(collar.value(p), collar.value_below(p, limit), limit);
      }
    }
  }
  const Palate palate;
  for (int i = 0; i < 3000; ++i) {
    const Vec3 p(across(random), 25 + across(random), 10 + across(random));
    const double limit = limits(random);
    hold(palate.value(p), palate.value_below(p, limit), limit);
  }
  CHECK(below > 1000);
  CHECK(above > 1000);
}

TEST_CASE("gum: crowns that are left out of an arch because gum hides them change no value of it") {
  std::vector<PlacedTooth> teeth;
  for (const int iso : {17, 16, 15, 14, 13, 12, 11, 21, 22, 23, 24, 25, 26, 27}) teeth.push_back(placed_tooth(iso));
  constexpr double kBase = 17.5, kCrownToGum = 0.2;
  const ArchField arch(teeth, kBase, Palate());
  int crowns_seen = 0, gum_seen = 0;
  for (double x = -40; x <= 40; x += 1.3)
    for (double y = -12; y <= 60; y += 1.3)
      for (double z = -4; z <= 18; z += 0.7) {
        const Vec3 p(x, y, z);
        const double crowns = arch.crowns(p), gum = arch.gum(p);
        REQUIRE(arch.value(p) == std::max(smooth_min(crowns, gum, kCrownToGum), z - kBase));
        ++(crowns < gum ? crowns_seen : gum_seen);
      }
  CHECK(crowns_seen > 1000);
  CHECK(gum_seen > 1000);
}
