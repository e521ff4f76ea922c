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
  Mesh upper_zone, lower_zone;    ///< what of them is painted: kept off by settings.zone_room_mm more
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
  double blocked_mm = 0;                     ///< how far it stands off at most, beyond the clearance
  Vec3 blocked_at = Vec3::Zero();            ///< and where, patient frame
  double off_least_mm = 0, off_most_mm = 0;  ///< clearance outside blocked undercuts at vertices of the imprint
  bool checked = false;                      ///< what follows is known
  bool seats = false;                        ///< reaches its place along the path without touching
  double stopped_mm = 0;                     ///< if not: how far before its place it touches
  Vec3 touch = Vec3::Zero();                 ///< and where, patient frame
  double gap_mm = 0;                         ///< least distance at rest
  double beyond_mm = 0;                      ///< how far it could go on past its place before it touches
  Vec3 beyond_at = Vec3::Zero();
  SplintRock rock;
};

/// What lies on the other side of a thin place: the other arch's imprint; the outside, sideways; the outside, beyond
/// the tips.
enum class ThinSide : std::uint8_t { between, wall, cover };

constexpr double kSmallestThinMm2 = 0.2;  ///< thin places of less area are edges

/// A place where the splint is thinner than asked, patient frame; thinnest of its surroundings.
struct ThinPlace {
  Vec3 at = Vec3::Zero();
  double thickness_mm = 0;
  double area_mm2 = 0;
  ThinSide side = ThinSide::between;
  bool over_upper = true;  ///< it lies on the imprint of the upper arch
};

/// Ridges into the gaps between neighbouring teeth and into fissures, imprint on both sides: thin as the gaps are, in
/// every splint. They carry nothing.
struct SplintFins {
  std::size_t places = 0;  ///< thinner than asked
  ThinPlace thinnest;      ///< where there are any
};

struct Splint {
  Mesh mesh;  ///< patient frame: closed, outward, not crossing itself
  std::vector<SplintPart> part;
  /// A vertex of an imprint, along the inward normal to the wall that faces the other way; NaN where there is none, in
  /// fins, and on the outside.
  std::vector<float> thickness_mm;
  /// For looking at: a vertex, of the outside as well, along the inward normal to whatever comes, 6 mm at most; NaN in
  /// fins.
  std::vector<float> shown_mm;
  double volume_mm3 = 0;
  double least_thickness_mm = 0;  ///< of any vertex, also where the place is too small to be listed
  std::string text;               ///< raised on the outer rim; empty where none was asked for or had room
  double letter_mm = 0;           ///< height of its letters
  std::vector<ThinPlace> thin;    ///< of walls and floors, thinnest first, at most twelve
  SplintFins fins;
  std::size_t left_open = 0;  ///< balls of 1 mm left open where an arch touched on its way in
  SplintSeat upper, lower;
};

/// Makes the splint and checks it. Error with the reason and, where there is one, the nearest possible value. O(nodes
/// of the grid near the arches), and again for each attempt at mending where scans fold or arches touch.
Result<Splint> make_splint(const SplintRequest& request, const Progress& progress = Progress());

}  // namespace intercusp
