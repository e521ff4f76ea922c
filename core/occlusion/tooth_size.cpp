#include <cmath>
#include <cstdio>

#include "occlusion/groups.h"
#include "occlusion/reading.h"

namespace intercusp {
namespace {

// The mesial and distal contact of each tooth from the midline to `last`, right then left, of one arch.
Names arch_contacts(int right_quadrant, int left_quadrant, int last) {
  Names names;
  for (const int quadrant : {right_quadrant, left_quadrant}) {
    for (int position = 1; position <= last; ++position) {
      names.push_back(tooth_point(10 * quadrant + position, "contact_mesial"));
      names.push_back(tooth_point(10 * quadrant + position, "contact_distal"));
    }
  }
  return names;
}

double sum_of_widths(const MeasureInput& in, const Names& contacts) {
  double sum = 0;
  for (std::size_t i = 0; i + 1 < contacts.size(); i += 2) {
    sum += (point_of(in, contacts[i]) - point_of(in, contacts[i + 1])).norm();
  }
  return sum;
}

struct Ratio {
  Names upper, lower;
  double percent(const MeasureInput& in) const { return 100 * sum_of_widths(in, lower) / sum_of_widths(in, upper); }
  Names all() const {
    Names names = upper;
    names.insert(names.end(), lower.begin(), lower.end());
    return names;
  }
};

// Each contact point moves its tooth's width by what it moves along the tooth.
double ratio_sd(const MeasureInput& in, const Ratio& r) {
  const double upper = sum_of_widths(in, r.upper), ratio = sum_of_widths(in, r.lower) / upper;
  return 100 / upper * std::sqrt(landmark_variance(in, r.lower) + ratio * ratio * landmark_variance(in, r.upper));
}

MeasureValue measure_ratio(const MeasureInput& in, const Ratio& r) {
  MeasureValue v;
  v.value = r.percent(in);
  v.uncertainty = ratio_sd(in, r);
  const Names contacts = r.all();
  for (std::size_t i = 0; i + 1 < contacts.size(); i += 2) {
    v.construct.push_back(
        {"distance", {point_of(in, contacts[i]), point_of(in, contacts[i + 1])}, contacts[i].substr(0, 2)});
  }
  return v;
}

MeasureDefinition ratio_measure(const char* id, const char* name, const char* teeth, const char* range, int last,
                                double mean, double sd) {
  const Ratio r{arch_contacts(1, 2, last), arch_contacts(4, 3, last)};
  MeasureDefinition d;
  d.id = id;
  d.name = name;
  d.unit = "%";
  d.group = "tooth size";
  d.definition = std::string("100 times the sum of the mesiodistal widths of the ") + teeth + " lower teeth (" + range +
                 ") over that of the same upper teeth. A width is the straight distance between the mesial "
                 "and the distal contact "
                 "point of the tooth. Every one of these teeth is needed: with one missing there is no number.";
  d.source = "Bolton 1958, Angle Orthod 28:113-130; Bolton 1962, Am J Orthod 48:504-529";
  d.usual = {{mean - sd, mean + sd}};
  d.usual_source = "Bolton's mean and one standard deviation (55 excellent occlusions); from memory";
  d.needs = r.all();
  d.missing = [r](const MeasureInput& in) {
    Names out = absent(in, r.all());
    if (out.empty() && !(sum_of_widths(in, r.upper) > 0)) out = r.upper;
    return out;
  };
  d.measure = [r](const MeasureInput& in) { return measure_ratio(in, r); };
  return d;
}

// How much too wide the teeth of one arch are for those of the other at the mean ratio: positive in the lower arch.
double excess_of(const MeasureInput& in, const Ratio& r, double mean_percent) {
  const double upper = sum_of_widths(in, r.upper), lower = sum_of_widths(in, r.lower), mean = mean_percent / 100;
  return lower > mean * upper ? lower - mean * upper : lower / mean - upper;
}

MeasureDefinition excess_measure(const char* part, const char* teeth, int last, double mean) {
  const Ratio r{arch_contacts(1, 2, last), arch_contacts(4, 3, last)};
  char number[16];
  std::snprintf(number, sizeof number, "%.1f", mean);
  MeasureDefinition d;
  d.id = std::string("tooth_size_excess_") + part;
  d.name = std::string("Tooth-size excess, ") + part;
  d.unit = "mm";
  d.group = "tooth size";
  d.definition = std::string("With L and U the sums of the mesiodistal widths of the ") + teeth +
                 " lower and upper teeth (as in the ratio) and m the mean ratio of " + number +
                 " %: where L is more than m U, L - m U, positive (the lower teeth are too wide); else L / m - U, "
                 "negative (the upper teeth are too wide by U - L / m). The two are not each other's negative.";
  d.source = "Bolton 1958, Angle Orthod 28:113-130; Bolton 1962, Am J Orthod 48:504-529; mean from memory";
  d.usual = {{-2.0, 2.0}};
  d.usual_source = "2 mm of correction as what matters: Othman & Harradine 2007, Angle Orthod 77:668-674";
  d.positive = "lower teeth too wide";
  d.negative = "upper teeth too wide";
  d.sides = BriefSides{"lower", "upper"};
  d.needs = r.all();
  d.missing = [r](const MeasureInput& in) { return absent(in, r.all()); };
  d.measure = [r, mean](const MeasureInput& in) {
    MeasureValue v = measure_ratio(in, r);
    v.value = excess_of(in, r, mean);
    const double m = mean / 100, lower = landmark_variance(in, r.lower), upper = landmark_variance(in, r.upper);
    v.uncertainty = std::sqrt(v.value > 0 ? lower + m * m * upper : lower / (m * m) + upper);
    return v;
  };
  return d;
}

}  // namespace

std::vector<MeasureDefinition> tooth_size_excess_measures() {
  return {excess_measure("overall", "twelve", 6, 91.3), excess_measure("anterior", "six", 3, 77.2)};
}

std::vector<MeasureDefinition> tooth_size_measures() {
  return {ratio_measure("tooth_size_overall", "Tooth-size ratio, overall", "twelve", "first molar to first molar", 6,
                        91.3, 1.91),
          ratio_measure("tooth_size_anterior", "Tooth-size ratio, anterior", "six", "canine to canine", 3, 77.2, 1.65)};
}

}  // namespace intercusp
