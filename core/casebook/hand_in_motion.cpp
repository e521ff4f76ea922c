#include "casebook/hand_in_motion.h"

#include "base/parallel.h"

namespace intercusp {

namespace {

constexpr double kDepthOff = 0.05, kNearestOffShare = 0.1;  ///< of what is told in motion, see ContactSettings

/// What is asked of lighter forms: overlaps and the minimum distance.
ContactSettings roughly() {
  ContactSettings settings;
  settings.band_mm = settings.contact_mm = settings.near_contact_mm = 0;
  settings.all_inside = true;
  settings.off_mm = kDepthOff;
  settings.nearest_off_share = kNearestOffShare;
  return settings;
}

ContactSettings near_contact(const Case& c) {
  ContactSettings settings = c.contact_settings;
  settings.band_mm = std::min(settings.band_mm, settings.near_contact_mm);
  return settings;
}

bool of_arches(const PosedPairOfBodies& pair) {
  return is_dental(pair.first) && is_dental(pair.second);
}

/// Vertices and triangles of a lighter form mean nothing to those who hold the body.
void leave_out_numbers(ContactResult& result) {
  result.gap_first.clear();
  result.gap_second.clear();
  result.crossings.clear();
}

}  // namespace

HandInMotion::HandInMotion(Case in_pieces, const std::string& plan, LightForms& forms)
    : whole_(std::move(in_pieces)), light_(forms.of(whole_)), plan_(plan) {}

std::vector<ContactPair> HandInMotion::compare(const SegmentPoses& poses) {
  const auto whole = pairs_to_compare(whole_, poses), light = pairs_to_compare(light_, poses);
  if (!whole || !light) return {};  // only a name asked for can be unknown
  std::vector<PosedPairOfBodies> arches, overlapping, free;
  for (std::size_t i = 0; i < light.value().size(); ++i) {
    const PosedPairOfBodies& pair = light.value()[i];
    if (of_arches(pair))
      arches.push_back(whole.value()[i]);
    else
      (overlapped_.count({pair.first, pair.second}) ? overlapping : free).push_back(pair);
  }
  std::vector<ContactPair> found, others, bites;
  both([&] { found = contacts_of(overlapping, roughly(), &overlapping_); },
       [&] {
         others = contacts_of(free, roughly(), &free_);
         bites = contacts_of(arches, near_contact(whole_), &arches_);
       });
  for (auto* more : {&others, &bites}) found.insert(found.end(), more->begin(), more->end());
  overlapped_.clear();
  for (const ContactPair& pair : found) {
    if (!pair.result.regions.empty()) overlapped_.emplace(pair.first, pair.second);
  }
  return found;
}

HandStep HandInMotion::at(const SegmentPoses& poses, bool with_plates) {
  HandStep step;
  const Plan* plan = whole_.find_plan(plan_);
  step.pairs = compare(poses);
  both([&] { step.bone = bone_in_way(light_, plan, poses, step.pairs, kLatticeInMotion); },
       [&] {
         if (with_plates) step.plates = plate_gaps(light_, plan, poses);
       });
  for (ContactPair& pair : step.pairs) {
    if (!is_dental(pair.first) || !is_dental(pair.second)) leave_out_numbers(pair.result);
  }
  return step;
}

}  // namespace intercusp
