#include "casebook/join_bone.h"

#include <cmath>
#include <cstdio>

#include "anatomy/notation.h"
#include "anatomy/occlusal_frame.h"
#include "skeleton/bone_surface.h"
#include "skeleton/scan_on_bone.h"

namespace intercusp {

namespace {

using NamesBone = bool (*)(const std::string&);

/// The bone that an arch's teeth stand in, by its name.
const Body* bone_of(const Case& c, NamesBone names) {
  for (const Body& body : c.bodies)
    if (names(body.name)) return &body;
  return nullptr;
}

/// From the scanner's frame to patient axes, where the landmarks tell.
Pose upright_from_scan(const Case& c) {
  PointMap points;
  for (const auto& [name, landmark] : c.landmarks) points[name] = landmark.at;
  const auto frame = maxillary_occlusal_frame(points);
  return frame.ok() ? patient_from_occlusal(frame.value()) : Pose::Identity();
}

/// Where the scan lies already, a little off, or anywhere; the first that is good.
Result<ScanOnBone> place_scan(const Case& c, const Surface& scan, const Surface& bone, const Progress& progress) {
  constexpr double kStays = 0.1;
  auto near = lay_scan_on_bone(scan, bone, Pose::Identity(), progress);
  if (near.ok() && near.value().good()) {
    const ScanOnBone here = read_scan_on_bone(scan, bone, Pose::Identity());
    if (here.good() && here.rms_mm < near.value().rms_mm + 0.02 && near.value().moved_mm < kStays) return here;
    return near;
  }
  auto anywhere = find_scan_on_bone(scan, bone, upright_from_scan(c), progress);
  if (anywhere.ok() && anywhere.value().good()) return anywhere;
  return near.ok() ? near : anywhere;
}

void move_scans(Case& c, const Pose& pose) {
  if (pose.isApprox(Pose::Identity(), 1e-12)) return;
  for (Body& body : c.bodies)
    if (is_dental(body.name) && !holds_roots(body.name))
      body = make_body(body.name, Surface::make(transformed(body.surface->mesh(), pose)));
  for (auto& [name, landmark] : c.landmarks)
    if (name.find('.') != std::string::npos || name.rfind("raphe", 0) == 0) landmark.at = pose * landmark.at;
}

std::string moved_sentence(const ScanOnBone& laid) {
  char words[200];
  std::snprintf(words, sizeof words,
                "the scans and their landmarks were moved onto the bone by %.1f mm and %.1f degrees", laid.moved_mm,
                laid.turned_deg);
  return words;
}

/// How the mandible stood in the CT against the scanned bite.
std::vector<std::string> lower_sentences(const Case& c, const Progress& progress) {
  const Body *scan = c.find_body("lower_arch"), *bone = bone_of(c, is_lower_bone);
  if (!scan || !bone) return {};
  const auto laid = lay_scan_on_bone(*scan->surface, *bone->surface, Pose::Identity(), progress);
  if (!laid.ok() || !laid.value().good())
    return {"lower_arch does not lie on teeth of " + bone->name +
            " as the bite was scanned: whether the jaws were closed alike in the CT is not known"};
  char words[240];
  std::snprintf(words, sizeof words,
                "against the scanned bite the mandible stood %.1f mm and %.1f degrees elsewhere in the CT",
                laid.value().moved_mm, laid.value().turned_deg);
  return {laid.value().sentence("lower_arch", bone->name), words};
}

}  // namespace

std::vector<std::string> join_scans_to_bone(Case& c, const Progress& progress) {
  std::vector<std::string> said;
  for (const Body& body : c.bodies)
    if (!is_dental(body.name))
      for (const std::string& words : bone_sentences(bone_parts(*body.surface)))
        said.push_back(body.name + ": " + words);
  const Body *scan = c.find_body("upper_arch"), *bone = bone_of(c, is_upper_bone);
  if (!scan || !bone) return said;
  const auto laid = place_scan(c, *scan->surface, *bone->surface, progress);
  if (!laid.ok() || !laid.value().good()) {
    said.push_back("upper_arch was left where it was given: " +
                   (laid.ok() ? laid.value().sentence("it", bone->name) : laid.error().sentence()));
    return said;
  }
  said.push_back(laid.value().sentence("upper_arch", bone->name));
  const bool stays = laid.value().bone_from_scan.isApprox(Pose::Identity(), 1e-12);
  said.push_back(stays ? "the scans lie on the bone as they were given" : moved_sentence(laid.value()));
  move_scans(c, laid.value().bone_from_scan);
  for (std::string& words : lower_sentences(c, progress)) said.push_back(std::move(words));
  return said;
}

}  // namespace intercusp
