// The JSON reports of `measure` and `contact`, the same from the command line and from the page.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "casebook/case.h"

namespace intercusp {

std::string moment_name(Moment at);

/// {"case","plan","at","frame","measures":[...],"not_measurable":[...]}; see docs/methods.md.
nlohmann::json measure_report(const Case& c, const Plan* plan, Moment at, const SegmentPoses& poses);

struct ContactPair {
  std::string first, second;
  ContactResult result;
};

/// Every pair of bodies on different segments that can meet, or the one pair asked for.
Result<std::vector<ContactPair>> contact_pairs(const Case& c, const SegmentPoses& poses,
                                               const ContactSettings& settings, const std::string& first = {},
                                               const std::string& second = {});

/// {"pairs":[{"between":[a,b],...}]}. Teeth are named from the nearest landmarks.
nlohmann::json contact_report(const Case& c, const SegmentPoses& poses, const std::vector<ContactPair>& pairs);

/// The tooth nearest to a point of an arch by that arch's landmarks; 0 when none is near (6 mm).
int tooth_at(const PointMap& points, const Vec3& at, Jaw jaw);

}  // namespace intercusp
