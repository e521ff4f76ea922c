#include "occlusion/settle_cost.h"

#include <algorithm>
#include <cmath>

#include "occlusion/reading.h"

namespace intercusp {
namespace {

constexpr double kRelationWeight = 3;  // the relation is what was asked for; all else is how well it can be had
constexpr double kHarmlessOverlapMm = 0.1;
const char* const kReadings[] = {"molar_right", "molar_left",          "canine_right", "canine_left",
                                 "overjet",     "midline_upper_lower", "overbite"};

}  // namespace

void read_bite(const MeasureInput& there, const SettleSettings& settings, SettleSolution& s) {
  double off = 0, relations = 0;
  for (const char* id : kReadings) {
    const MeasureDefinition* d = find_measure(id);
    if (!d->missing(there).empty()) continue;
    const MeasureValue v = d->measure(there);
    s.reading[id] = v.value;
    if (!v.quarters) continue;
    s.quarters[id] = *v.quarters;
    const bool molar = d->id[0] == 'm';
    const double intended = (molar ? settings.molar_quarters : settings.canine_quarters) * 0.25 * *v.unit_mm;
    off += std::max(std::abs(v.value - intended) - *v.unit_mm / 8, 0.0);
    relations += 1;
  }
  if (relations > 0) s.cost.relation = kRelationWeight * off / relations;
  const auto beyond = [&](const char* id, const std::array<double, 2>& limits) {
    const auto found = s.reading.find(id);
    if (found == s.reading.end()) return 0.0;
    return beyond_limits(found->second, limits);
  };
  s.cost.midline = beyond("midline_upper_lower", {0, 0});
  s.cost.overjet = beyond("overjet", settings.overjet_mm);
  s.cost.overbite = beyond("overbite", settings.overbite_mm);
  for (const auto& [id, target] : settings.pinned) s.cost.pinned += beyond(id.c_str(), {target, target});
}

ContactSettings near_contacts(const SettleSettings& settings) {
  ContactSettings close = settings.contact;
  close.band_mm = close.near_contact_mm;
  return close;
}

void add_contacts(const ContactResult& contact, const OcclusalFrame& frame, SettleSolution& s) {
  for (const ContactPatch& patch : contact.contacts) {
    const std::size_t side = (patch.at - frame.origin).dot(frame.left) < 0 ? 0 : 1;
    s.contacts[side] += 1;
    s.area_mm2[side] += patch.area_mm2;
  }
  for (const OverlapRegion& region : contact.regions) s.deepest_mm = std::max(s.deepest_mm, region.deepest_mm);
}

void sum_contacts(SettleSolution& s) {
  s.cost.overlap = 10 * std::max(s.deepest_mm - kHarmlessOverlapMm, 0.0);
  for (const int contacts : s.contacts) s.cost.sides += contacts == 0 ? 3 : 0;
}

double seat_cost(double seated_share, double best) {
  return 10 * (1 - seated_share / best);
}

double beyond_limits(double value, const std::array<double, 2>& limits) {
  return std::max({limits[0] - value, value - limits[1], 0.0});
}

bool rank(std::vector<SettleSolution>& solutions) {
  double best = 0;
  for (const SettleSolution& s : solutions) best = std::max(best, s.seated_share);
  if (!(best > 0)) return false;
  for (SettleSolution& s : solutions) s.cost.seat = seat_cost(s.seated_share, best);
  std::stable_sort(solutions.begin(), solutions.end(),
                   [](const SettleSolution& a, const SettleSolution& b) { return a.cost.total() < b.cost.total(); });
  return true;
}

}  // namespace intercusp
