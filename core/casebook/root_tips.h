// Which tooth a root of a CT belongs to, and where its tip is.
#pragma once

#include <vector>

#include "casebook/case.h"

namespace intercusp {

/// The root of one tooth, or one of several.
struct RootPart {
  int tooth = 0;              ///< ISO number
  std::vector<Vec3> surface;  ///< its vertices, patient frame at rest
};

/// The roots of the bodies of roots or teeth, by tooth. A connected part belongs to the tooth whose crown or apex is
/// marked nearest to it; one that several teeth share is parted along its surface, each place going to the tooth it is
/// nearest to by way of the surface. A part that stands behind the last marked molar is called that of the next
/// one. Empty where no tooth is marked. O(vertices x marked teeth), O(v log v) for shared parts.
std::vector<RootPart> root_parts(const Case& c);

/// The case with `NN.apex` for every tooth of an upper or lower root whose apex nobody marked: the point of its roots
/// farthest from the chewing side, proposed and not confirmed. What is marked stays. A case that was given its tips
/// comes back as it is. Cost of root_parts.
Case with_root_tips(const Case& c);

}  // namespace intercusp
