// A splint that holds two arches in a planned relation: the solid, and what is to be known about it.
#pragma once

#include <optional>

#include "base/progress.h"
#include "base/result.h"
#include "surgery/seating_path.h"
#include "surgery/splint_solid.h"

namespace intercusp {

/// The arches where they are to be held, patient frame.
struct SplintRequest {
  Mesh upper, lower;              ///< pieces of one jaw in one mesh
  Pose frame = Pose::Identity();  ///< patient <- splint: x to the left, y backwards, z up, normal to the chewing plane
  SplintSettings settings;
};

/// How the seated arch can move before it touches, each way, mm and degrees about the middle of its imprint.
struct SplintRock {
  std::array<double, 2> left_mm{}, forward_mm{};             ///< {to the left, to the right}, {forward, back}
  std::array<double, 2> pitch_deg{}, roll_deg{}, yaw_deg{};  ///< right-handed about the patient's axes x, y, z: {+, -}
};

/// One arch in the finished splint.
struct SplintSeat {
  SeatingPath path;
  Vec3 off = Vec3::UnitZ();                  ///< patient frame
  double imprint_mm2 = 0;                    ///< area of its imprint
  double blocked_mm2 = 0;                    ///< of it, area that stands off because an undercut is blocked out
  double off_least_mm = 0, off_most_mm = 0;  ///< clearance outside blocked undercuts at vertices of the imprint
  bool seats = false;                        ///< reaches its place along the path without touching
  double stopped_mm = 0;                     ///< if not: how far before its place it touches
  Vec3 touch = Vec3::Zero();                 ///< and where, patient frame
  double gap_mm = 0;                         ///< least distance at rest
  double beyond_mm = 0;                      ///< how far it could go on past its place before it touches
  Vec3 beyond_at = Vec3::Zero();
  SplintRock rock;
};

/// A place where the splint is thinner than asked, patient frame; thinnest of its surroundings.
struct ThinPlace {
  Vec3 at = Vec3::Zero();
  double thickness_mm = 0;
  double area_mm2 = 0;
};

struct Splint {
  Mesh mesh;  ///< patient frame: closed, outward, not crossing itself
  std::vector<SplintPart> part;
  std::vector<float> thickness_mm;  ///< a vertex, along the inward normal
  double volume_mm3 = 0;
  double least_thickness_mm = 0;
  std::vector<ThinPlace> thin;  ///< thinnest first, at most twelve
  SplintSeat upper, lower;
};

/// Makes the splint and checks it. Error with the reason and, where there is one, the nearest possible value. O(nodes
/// of the grid near the arches), and again for each attempt at mending where scans fold or arches touch.
Result<Splint> make_splint(const SplintRequest& request, const Progress& progress = Progress());

}  // namespace intercusp
