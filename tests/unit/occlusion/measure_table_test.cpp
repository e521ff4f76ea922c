#include <doctest/doctest.h>

#include <set>

#include "occlusion/changed_by.h"
#include "occlusion/model_bite.h"

using namespace intercusp;

namespace {

int mirrored(int tooth) {
  static const int partner[] = {0, 2, 1, 4, 3};
  return 10 * partner[tooth / 10] + tooth % 10;
}

PointMap mirror_image(const PointMap& points) {
  PointMap out;
  for (const auto& [name, at] : points) {
    out[std::to_string(mirrored(std::stoi(name.substr(0, 2)))) + name.substr(2)] = Vec3(-at.x(), at.y(), at.z());
  }
  return out;
}

std::string mirrored_id(std::string id) {
  const std::size_t right = id.find("_right"), left = id.find("_left");
  if (right != std::string::npos) return id.replace(right, 6, "_left");
  if (left != std::string::npos) return id.replace(left, 5, "_right");
  return id;
}

// Of the scans or of the skull: not measurable from the model bite's points alone.
bool beyond_points(const MeasureDefinition& d) {
  return d.group == "contacts" || d.group == "arch and head" || d.id == "open_bite_right" || d.id == "open_bite_left";
}

// A standard normal number from twelve uniform ones (Irwin-Hall), enough for a check of a spread to a few percent.
double normal(std::uint64_t& state) {
  double sum = 0;
  for (int i = 0; i < 12; ++i) sum += 0.5 * spread(state);
  return sum;
}

}  // namespace

TEST_CASE("the table holds every measure of the contract in its order") {
  const std::vector<std::string> ids = {"overjet",
                                        "overbite",
                                        "overbite_percent",
                                        "midline_upper_lower",
                                        "midline_upper_face",
                                        "midline_lower_face",
                                        "molar_right",
                                        "molar_left",
                                        "canine_right",
                                        "canine_left",
                                        "premolar_right",
                                        "premolar_left",
                                        "angle_class",
                                        "anterior_crossbite",
                                        "posterior_crossbite_right",
                                        "posterior_crossbite_left",
                                        "scissor_bite_right",
                                        "scissor_bite_left",
                                        "open_bite_anterior",
                                        "open_bite_right",
                                        "open_bite_left",
                                        "intercanine_upper",
                                        "intercanine_lower",
                                        "intermolar_upper",
                                        "intermolar_lower",
                                        "arch_depth_upper",
                                        "arch_depth_lower",
                                        "arch_perimeter_upper",
                                        "arch_perimeter_lower",
                                        "crowding_upper",
                                        "crowding_lower",
                                        "tooth_size_overall",
                                        "tooth_size_anterior",
                                        "tooth_size_excess_overall",
                                        "tooth_size_excess_anterior",
                                        "curve_of_spee_right",
                                        "curve_of_spee_left",
                                        "curve_of_wilson_upper",
                                        "curve_of_wilson_lower",
                                        "incisor_inclination_upper",
                                        "incisor_inclination_lower",
                                        "crown_inclination_upper",
                                        "crown_inclination_lower",
                                        "crown_angulation_upper",
                                        "crown_angulation_lower",
                                        "occlusal_cant",
                                        "occlusal_yaw",
                                        "contact_count",
                                        "contact_area",
                                        "contact_right_share",
                                        "contact_front_share",
                                        "premature_contact"};
  std::vector<std::string> found;
  for (const MeasureDefinition& d : measure_table()) {
    found.push_back(d.id);
    CHECK_MESSAGE(!d.name.empty(), d.id);
    CHECK_MESSAGE(d.definition.size() > 40, d.id);
    CHECK_MESSAGE(!d.source.empty(), d.id);
    CHECK_MESSAGE(!changed_by(d.id).empty(), d.id);
    CHECK_MESSAGE((d.usual && (*d.usual)[0] < (*d.usual)[1] && !d.usual_source.empty()), d.id);
    CHECK_MESSAGE(!d.needs.empty(), d.id);
  }
  CHECK(found == ids);
  CHECK(find_measure("nothing") == nullptr);
}

TEST_CASE("an empty case measures nothing and says what every measure needs") {
  for (const MeasureRow& row : measure_all({})) {
    CHECK_FALSE(row.value.has_value());
    CHECK_FALSE(row.needs.empty());
  }
}

TEST_CASE("a complete case leaves out only what needs the face, the skull or the scans") {
  for (const MeasureRow& row : measure_all(input_of(model_bite()))) {
    if (beyond_points(*row.definition)) {
      CHECK_FALSE_MESSAGE(row.value.has_value(), row.definition->id);
      CHECK_FALSE(row.needs.empty());
      continue;
    }
    const bool face = row.definition->id.find("_face") != std::string::npos;
    CHECK_MESSAGE(row.value.has_value() != face, row.definition->id);
    if (face) CHECK(row.needs == std::vector<std::string>{"midsagittal plane"});
  }
}

TEST_CASE("removing any one landmark that a measure names makes it say so or read around it") {
  const PointMap whole = model_bite();
  for (const MeasureDefinition& d : measure_table()) {
    if (beyond_points(d)) continue;
    for (const std::string& name : d.needs) {
      PointMap points = whole;
      REQUIRE_MESSAGE(points.erase(name) == 1, name);
      const MeasureInput in = input_of(points);
      const std::vector<std::string> needs = d.missing(in);
      if (needs.empty()) CHECK_MESSAGE(std::isfinite(d.measure(in).value), (d.id + " without " + name));
    }
  }
}

namespace {

// Points of a skull above the model bite, a little lopsided.
void add_skull(PointMap& points) {
  points["Po_right"] = Vec3(-60, 40, 50);
  points["Po_left"] = Vec3(62, 41, 51);
  points["Or_right"] = Vec3(-33, -30, 52);
  points["Or_left"] = Vec3(34, -31, 50);
}

}  // namespace

TEST_CASE("a common rigid motion changes no value, class or uncertainty") {
  const Pose pose = Eigen::Translation3d(-40, 25, 310) * Eigen::AngleAxisd(2.4, Vec3(-0.4, 0.2, 0.9).normalized());
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    MeasureInput here = input_of(lopsided_bite(seed));
    add_skull(here.points);
    here.midsagittal = {Vec3(0.7, 0, 0), Vec3(1, 0.02, -0.01).normalized()};
    MeasureInput there = input_of(moved(here.points, pose));
    there.midsagittal = {pose * here.midsagittal->first, pose.linear() * here.midsagittal->second};
    const std::vector<MeasureRow> a = measure_all(here), b = measure_all(there);
    for (std::size_t i = 0; i < a.size(); ++i) {
      const std::string& id = a[i].definition->id;
      if (beyond_points(*a[i].definition) && a[i].definition->group != "arch and head") continue;
      REQUIRE_MESSAGE(a[i].value.has_value(), id);
      REQUIRE_MESSAGE(b[i].value.has_value(), id);
      CHECK_MESSAGE(std::abs(a[i].value->value - b[i].value->value) < 1e-9, id);
      CHECK_MESSAGE(std::abs(a[i].value->uncertainty - b[i].value->uncertainty) < 1e-6, id);
      CHECK_MESSAGE(a[i].value->quarters == b[i].value->quarters, id);
      CHECK_MESSAGE(a[i].value->finding == b[i].value->finding, id);
    }
  }
}

TEST_CASE("the mirror image swaps right and left and turns the midlines round") {
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    const MeasureInput one = input_of(lopsided_bite(seed));
    const MeasureInput other = input_of(mirror_image(one.points));
    for (const MeasureDefinition& d : measure_table()) {
      if (d.id.find("_face") != std::string::npos || beyond_points(d)) continue;
      const MeasureValue a = read(one, d.id.c_str()), b = read(other, mirrored_id(d.id).c_str());
      const double sign = d.group == "midlines" ? -1 : 1;
      CHECK_MESSAGE(std::abs(a.value - sign * b.value) < 1e-9, d.id);
      CHECK_MESSAGE(std::abs(a.uncertainty - b.uncertainty) < 1e-6, d.id);
      CHECK_MESSAGE(a.relation == b.relation, d.id);
    }
  }
}

TEST_CASE("moving the upper jaw forward moves every reading by what geometry says") {
  const MeasureInput before = input_of(model_bite());
  PointMap points = before.points;
  for (auto& [name, at] : points) {
    if (name[0] <= '2') at += Vec3(0.5, -3, -1);
  }
  const MeasureInput after = input_of(points);
  const auto change = [&](const char* id) { return read(after, id).value - read(before, id).value; };
  const Vec3 shift = patient_from_occlusal(*before.frame).linear() * Vec3(0.5, -3, -1);
  CHECK(change("overjet") == doctest::Approx(-shift.y()));
  CHECK(change("overbite") == doctest::Approx(-shift.z()));
  CHECK(change("midline_upper_lower") == doctest::Approx(shift.x()));
  CHECK(*read(after, "molar_right").sagittal_mm - *read(before, "molar_right").sagittal_mm ==
        doctest::Approx(-shift.y()));
  CHECK(std::abs(change("intermolar_upper")) < 1e-9);
  CHECK(std::abs(change("tooth_size_overall")) < 1e-9);
}

TEST_CASE("the uncertainty is the spread under random landmark errors") {
  const PointMap exact = lopsided_bite(3, 0.4);
  const MeasureInput in = input_of(exact);
  std::uint64_t state = 11;
  constexpr int kDraws = 1200;
  std::map<std::string, double> sum, squares;
  const std::vector<std::string> ids = {"overjet",     "overbite",    "midline_upper_lower",
                                        "molar_right", "canine_left", "tooth_size_anterior"};
  std::map<std::string, MeasureValue> exactly;
  for (const std::string& id : ids) exactly[id] = read(in, id.c_str());
  for (int draw = 0; draw < kDraws; ++draw) {
    PointMap points = exact;
    for (auto& [name, at] : points) at += 0.1 * Vec3(normal(state), normal(state), normal(state));
    const MeasureInput off = input_of(points);
    for (const std::string& id : ids) {
      // The pair stays that of the exact bite: which pair is the headline is not part of the uncertainty.
      const MeasureValue v = read(off, id.c_str());
      const MeasureValue& base = exactly.at(id);
      double value = v.value;
      for (std::size_t i = 0; i < base.pairs.size(); ++i) {
        if (base.pairs[i].value == base.value) value = v.pairs[i].value;
      }
      sum[id] += value;
      squares[id] += value * value;
    }
  }
  MeasureInput tight = in;
  tight.settings.landmark_sd_mm = 0.1;
  for (const std::string& id : ids) {
    const double mean = sum[id] / kDraws, sd = std::sqrt(squares[id] / kDraws - mean * mean);
    CHECK_MESSAGE(read(tight, id.c_str()).uncertainty == doctest::Approx(sd).epsilon(0.07), id);
  }
}

TEST_CASE("a frame given from elsewhere stays put in the uncertainty") {
  MeasureInput in = input_of(model_bite());
  const double with_plane = read(in, "overbite").uncertainty;
  const Mat3 tilt = Eigen::AngleAxisd(0.1, Vec3::UnitX()).toRotationMatrix();
  in.frame->forward = tilt * in.frame->forward;
  in.frame->up = tilt * in.frame->up;
  CHECK(read(in, "overbite").uncertainty == doctest::Approx(0.3 * std::sqrt(2.0)).epsilon(1e-6));
  CHECK(with_plane > 0.4);
}

TEST_CASE("what is drawn is real: finite points, and a dimension as long as the value") {
  const std::map<std::string, std::size_t> sizes = {{"distance", 2}, {"line", 2}, {"point", 1}};
  for (const MeasureRow& row : measure_all(input_of(lopsided_bite(5)))) {
    if (!row.value) continue;
    REQUIRE_FALSE(row.value->construct.empty());
    for (const Construct& c : row.value->construct) {
      const auto size = sizes.find(c.kind);
      if (size != sizes.end()) CHECK(c.points.size() == size->second);
      for (const Vec3& p : c.points) CHECK(p.allFinite());
    }
    if (row.definition->unit != "mm") continue;
    if (row.definition->id == "angle_class") continue;  // drawn as the two molar relations
    const Construct& first = row.value->construct.front();
    if (first.kind == "path" || row.definition->id.find("excess") != std::string::npos) continue;  // no single line
    CHECK(first.kind == "distance");
    CHECK_MESSAGE((first.points[1] - first.points[0]).norm() == doctest::Approx(std::abs(row.value->value)),
                  row.definition->id);
  }
}

TEST_CASE("values in clinical words, never a bare sign") {
  const auto words = [](const char* id, double value, std::optional<int> quarters = {}, const char* relation = "") {
    MeasureValue v;
    v.value = value;
    v.quarters = quarters;
    if (quarters) v.relation = relation;
    return in_words(*find_measure(id), v);
  };
  CHECK(words("overjet", -4) == "4.00 mm reverse");
  CHECK(words("overjet", 2.5) == "2.50 mm");
  CHECK(words("overjet", 0.001) == "edge to edge");
  CHECK(words("overbite", 2.5) == "2.50 mm overlap");
  CHECK(words("overbite", -1) == "1.00 mm open");
  CHECK(words("overbite_percent", 27.78) == "27.8 % of the lower crown overlapped");
  CHECK(words("midline_upper_lower", 1.2) == "1.20 mm to the patient's left");
  CHECK(words("midline_upper_face", -1.2) == "1.20 mm to the patient's right");
  CHECK(words("midline_lower_face", 0) == "coincident");
  CHECK(words("molar_right", 3.5, 2, "II") == "half a unit Class II, 3.50 mm");
  CHECK(words("molar_right", -7, -4, "III") == "a full unit Class III, 7.00 mm");
  CHECK(words("molar_left", 8.75, 5, "II") == "1 and a quarter units Class II, 8.75 mm");
  CHECK(words("canine_left", -0.3, 0, "I") == "Class I, 0.30 mm distal");
  CHECK(words("canine_left", 0, 0, "I") == "Class I");
  CHECK(words("curve_of_spee_left", 2.252) == "2.25 mm deep");
  CHECK(words("curve_of_spee_left", -0.5) == "0.50 mm reverse");
  CHECK(words("tooth_size_overall", 91.398) == "91.40 %");
  CHECK(words("intermolar_upper", 52) == "52.00 mm");
  for (const MeasureRow& row : measure_all(input_of(lopsided_bite(9)))) {
    if (row.value) CHECK(in_words(*row.definition, *row.value).find('-') == std::string::npos);
  }
}
