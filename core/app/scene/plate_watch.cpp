#include "app/scene/plate_watch.h"

#include "casebook/cut_case.h"

namespace intercusp {

void PlateWatch::forget() {
  const std::uint64_t age = age_ + 1;
  *this = PlateWatch();
  age_ = age;
}

void PlateWatch::refresh(ErrandDesk& desk, const Case& c, const Plan* plan, const SegmentPoses& poses,
                         std::uint64_t version) {
  if (asked_ || version == version_) return;
  if (!has_cuts(plan)) {
    gaps_.clear();
    version_ = version;
    return;
  }
  asked_ = true;
  const auto use = [this, version, age = age_](ErrandAnswer& answer) -> Status {
    if (age != age_) return Done{};
    asked_ = false;
    auto* found = std::get_if<PlatesMeasured>(&answer);
    gaps_ = found ? std::move(found->gaps) : std::vector<PlateGap>{};
    version_ = version;
    return Done{};
  };
  (void)desk.go(MeasurePlates{c, plan->name, poses}, "", use).ok();
}

}  // namespace intercusp
