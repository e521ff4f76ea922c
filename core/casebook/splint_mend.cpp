#include "casebook/splint_mend.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace intercusp {
namespace {

constexpr int kMends = 3;
constexpr double kMendStep = 0.1;    ///< to which what is changed is rounded up, mm
constexpr double kMendMargin = 0.1;  ///< more than is lacking, mm

double rounded_up(double mm) {
  return kMendStep * std::ceil(mm / kMendStep - 1e-9);
}

/// One number made larger by what is lacking, as far as it can be.
void enlarge(const char* key, double lacking, SplintOrder& order, std::vector<SplintChange>& changes) {
  if (lacking <= 0) return;
  for (const SplintNumber& n : splint_numbers()) {
    if (std::string(n.key) != key) continue;
    double& value = order.settings.*n.member;
    const double to = std::min(n.most, rounded_up(value + lacking + kMendMargin));
    if (to <= value) return;
    changes.push_back({n.key, n.name, value, to});
    value = to;
  }
}

void open_more(const CaseSplint& made, double lacking, SplintOrder& order, std::vector<SplintChange>& changes) {
  if (lacking <= 0) return;
  const double to = rounded_up(made.opened_mm + lacking + kMendMargin);
  if (to > kFarthestOpeningMm) return;
  changes.push_back({"opening_mm", "opening at the incisors (mm)", made.opened_mm, to});
  order.opening_mm = to;
  // What is found to be enough in the straight line between the arches was not, or is not known yet.
  order.open_for_thickness = true;
}

}  // namespace

std::vector<SplintChange> mend_order(const CaseSplint& made, SplintOrder& order) {
  double wall = 0, over_upper = 0, over_lower = 0, between = 0;
  for (const ThinPlace& place : made.splint.thin) {
    const double lacking = made.order.settings.least_thickness_mm - place.thickness_mm;
    // What covers the tips of the upper teeth lies on the side of the lower ones, and the other way round.
    double& most = place.side == ThinSide::wall    ? wall
                   : place.side == ThinSide::cover ? (place.over_upper ? over_upper : over_lower)
                                                   : between;
    most = std::max(most, lacking);
  }
  std::vector<SplintChange> changes;
  enlarge("rim_width_mm", wall, order, changes);
  enlarge("lower_depth_mm", over_upper, order, changes);
  enlarge("upper_depth_mm", over_lower, order, changes);
  open_more(made, between, order, changes);
  return changes;
}

void add_changes(const std::vector<SplintChange>& more, std::vector<SplintChange>& all) {
  for (const SplintChange& change : more) {
    const auto known =
        std::find_if(all.begin(), all.end(), [&](const SplintChange& each) { return each.key == change.key; });
    if (known == all.end())
      all.push_back(change);
    else
      known->to_mm = change.to_mm;
  }
}

std::string changes_words(const std::vector<SplintChange>& changes) {
  std::string all;
  for (const SplintChange& change : changes) {
    char text[160];
    const std::string name = change.name.substr(0, change.name.find(" (mm)"));
    std::snprintf(text, sizeof text, "%s%s from %.1f to %.1f mm", all.empty() ? "" : ", ", name.c_str(), change.from_mm,
                  change.to_mm);
    all += text;
  }
  return all;
}

Result<CaseSplint> mended_splint(const Case& c, const Plan& plan, const std::string& digest, SplintOrder order,
                                 std::vector<SplintChange> changed, const Progress& progress) {
  const bool refuse = order.settings.refuse_thin;
  order.settings.refuse_thin = false;
  for (int round = 0;; ++round) {
    auto made = splint_of_case(c, plan, digest, order, progress);
    if (!made.ok()) return made;
    CaseSplint& splint = made.value();
    const std::vector<SplintChange> more = round < kMends ? mend_order(splint, order) : std::vector<SplintChange>();
    add_changes(more, changed);
    if (!more.empty()) continue;
    splint.order.settings.refuse_thin = refuse;
    splint.mended = std::move(changed);
    for (SplintChange& change : splint.mended)
      if (change.key == "opening_mm") change.to_mm = splint.opened_mm;
    const Status thick = refuse_thin_walls(c, splint);
    if (!thick.ok()) return thick.error();
    return made;
  }
}

}  // namespace intercusp
