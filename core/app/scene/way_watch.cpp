#include "app/scene/way_watch.h"

namespace intercusp {

void WayWatch::forget() {
  const std::uint64_t age = age_ + 1;
  *this = WayWatch();
  age_ = age;
}

void WayWatch::refresh(ErrandDesk& desk, const Case& c, const Plan* plan, std::uint64_t version) {
  if (asked_ || version == version_) return;
  if (!plan || plan->entries.empty()) {
    overlaps_.clear();
    version_ = version;
    return;
  }
  asked_ = true;
  const auto use = [this, version, age = age_](ErrandAnswer& answer) -> Status {
    if (age != age_) return Done{};
    asked_ = false;
    auto* walked = std::get_if<WayWalked>(&answer);
    overlaps_ = walked ? std::move(walked->overlaps) : std::vector<PathOverlap>{};
    version_ = version;
    return Done{};
  };
  (void)desk.go(WalkTheWay{c, plan->name}, "", use).ok();
}

}  // namespace intercusp
