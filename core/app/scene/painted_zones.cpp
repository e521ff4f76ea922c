#include "app/scene/painted_zones.h"

#include <algorithm>

namespace intercusp {

namespace {

bool begins_with(const std::vector<Dab>& all, const std::vector<Dab>& first) {
  return first.size() <= all.size() && std::equal(first.begin(), first.end(), all.begin());
}

}  // namespace

void PaintedZones::refresh(const Case& c, std::uint64_t revision) {
  if (revision == revision_) return;
  revision_ = revision;
  std::vector<PaintedZone> now;
  for (const Zone& zone : c.zones) {
    const Body* body = c.find_body(zone.body);
    if (!body || !body->surface) continue;
    PaintedZone painted{body->surface, {}, {}, 0, 0};
    for (PaintedZone& had : all_)
      if (had.surface == body->surface && begins_with(zone.dabs, had.zone.dabs)) painted = std::move(had);
    if (painted.version == 0 || painted.zone.dabs.size() < zone.dabs.size()) {
      paint(*body->surface, zone, painted.zone.dabs.size(), painted.painted);
      painted.area_mm2 = painted_area_mm2(*body->surface, painted.painted);
      painted.version = ++versions_;
    }
    painted.zone = zone;
    now.push_back(std::move(painted));
  }
  all_ = std::move(now);
}

}  // namespace intercusp
