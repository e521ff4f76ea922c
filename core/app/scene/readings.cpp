#include "app/scene/readings.h"

namespace intercusp {

const MeasureRow* Reading::row(const std::string& id) const {
  for (const MeasureRow& r : rows)
    if (r.definition && r.definition->id == id) return &r;
  return nullptr;
}

Reading Readings::read(const Case& c, const SegmentPoses& poses, const OcclusalFrame* section_frame) {
  Reading r;
  r.poses = poses;
  r.points = points_at(c, poses);
  r.input = measure_input(c, poses);
  r.rows = measure_all(r.input);
  if (section_frame) r.section = incisor_section(r, *section_frame);
  return r;
}

void Readings::refresh(const Case& c, std::uint64_t stamp, const Plan* plan, Moment at) {
  const Seen wanted{stamp, plan ? plan->name : "", at};
  if (version_ > 0 && wanted == seen_) return;
  const auto rest = segment_poses(c, nullptr, Moment::rest);
  auto poses = segment_poses(c, plan, at);
  trouble_ = poses ? "" : poses.error().sentence();
  const SegmentPoses at_rest = rest ? rest.value() : SegmentPoses{};
  start_ = read(c, at_rest, nullptr);
  const OcclusalFrame* frame = start_.input.frame ? &*start_.input.frame : nullptr;
  if (frame) start_.section = incisor_section(start_, *frame);
  now_ = read(c, poses ? poses.value() : at_rest, frame);
  held_ = 0;
  seen_ = wanted;
  ++version_;
}

void Readings::hold(const Case& c, std::uint64_t which, const SegmentPoses& poses) {
  if (which == held_) return;
  if (!held_) {
    planned_poses_ = now_.poses;
    planned_points_ = now_.points;
  }
  now_.poses = which ? poses : planned_poses_;
  now_.points = which ? points_at(c, poses) : planned_points_;
  held_ = which;
}

void Readings::take_contact(std::shared_ptr<const ArchContact> contact) {
  now_.input.contact = std::move(contact);
  now_.rows = measure_all(now_.input);
}

}  // namespace intercusp
