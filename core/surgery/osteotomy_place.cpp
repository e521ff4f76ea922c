#include <algorithm>
#include <array>
#include <cmath>

#include "anatomy/notation.h"
#include "surgery/osteotomy.h"

namespace intercusp {
namespace {

const Vec3 kUpward = Vec3::UnitZ(), kBackward = Vec3::UnitY(), kLeftward = Vec3::UnitX();
constexpr double kAboveFloor = 3;       ///< nasal floor to the usual level of the cut, mm: Li 1996
constexpr double kAboveApices = 5;      ///< the same from the apices: what the setting counts from
constexpr double kAboveLingula = 5;     ///< the usual level of a split
constexpr double kFar = 80;             ///< from where the bone is probed, mm
constexpr double kLingulaShare = 0.45;  ///< of the height from gonion to condyle: common practice, no source
constexpr double kBeforeEdge = 10;      ///< from the rear edge of the ramus to where its thickness is taken, mm

std::optional<Vec3> find(const PointMap& points, const std::string& name) {
  const auto found = points.find(name);
  return found == points.end() ? std::nullopt : std::optional<Vec3>(found->second);
}

Error place_first(const std::string& what, const std::string& names) {
  return Error{what + " cannot be placed: landmarks are missing", "", "place " + names};
}

bool is_apex(const std::string& name) {
  return name.size() > 3 && name[2] == '.' && name.compare(3, 4, "apex") == 0;
}

int tooth_of_name(const std::string& name) {
  return 10 * (name[0] - '0') + (name[1] - '0');
}

/// Greatest height of the chosen teeth's apices along a direction.
template <class Choose>
std::optional<double> highest_apex(const PointMap& points, const Vec3& along, Choose choose) {
  std::optional<double> highest;
  for (const auto& [name, p] : points) {
    if (!is_apex(name) || !choose(tooth_of_name(name))) continue;
    highest = std::max(highest.value_or(-1e9), along.dot(p));
  }
  return highest;
}

Vec3 tilted(double slope_deg) {
  return Vec3(0, -std::sin(radians(slope_deg)), std::cos(radians(slope_deg)));
}

std::optional<double> upper_apex(const PointMap& points, const Vec3& normal, bool right, bool left) {
  return highest_apex(points, normal, [&](int tooth) { return is_upper(tooth) && (is_right(tooth) ? right : left); });
}

std::optional<double> lower_apex(const PointMap& points, const Vec3& normal) {
  return highest_apex(points, -normal, [](int tooth) { return !is_upper(tooth); });
}

/// Height of the teeth's limit on the sides asked, along the normal of the cut.
std::optional<double> lefort_base(const PointMap& points, const Vec3& normal, bool right, bool left) {
  if (const auto apex = upper_apex(points, normal, right, left)) return apex;
  std::optional<double> floor;
  for (const char* spine : {"ANS", "PNS"}) {
    if (const auto p = find(points, spine)) floor = std::max(floor.value_or(-1e9), normal.dot(*p));
  }
  return floor ? std::optional<double>(*floor + kAboveFloor - kAboveApices) : std::nullopt;
}

/// Where the buttress begins: the distal contact of the second premolar.
std::optional<double> buttress(const PointMap& points, bool right) {
  for (const char* name : right ? std::array<const char*, 2>{"15.contact_distal", "16.contact_mesial"}
                                : std::array<const char*, 2>{"25.contact_distal", "26.contact_mesial"}) {
    if (const auto p = find(points, name)) return p->y();
  }
  return std::nullopt;
}

Result<CutSurface> lefort_side(const Osteotomy& cut, const PointMap& points, bool right, bool both_sides) {
  const std::string side = right ? "right" : "left";
  const Vec3 normal = tilted(cut.settings.at("slope_" + side + "_deg"));
  const auto base = lefort_base(points, normal, right || both_sides, !right || both_sides);
  if (!base) return place_first(cut_words(cut.kind), "the root apices of the upper teeth, or ANS");
  const double level = *base + cut.settings.at("level_" + side + "_mm") + 0.5 * cut.kerf_mm();
  const CutSurface front = CutSurface::plane(level * normal, normal);
  const double step = cut.settings.at("step_" + side + "_mm");
  if (step == 0) return front;
  const auto wall = buttress(points, right);
  if (!wall) return place_first("the step at the buttress", right ? "15.contact_distal" : "25.contact_distal");
  return CutSurface::stepped(CutSurface::plane(*wall * kBackward, kBackward), front,
                             CutSurface::plane((level + step) * normal, normal));
}

std::optional<double> midline(const PointMap& points) {
  if (const auto spine = find(points, "ANS")) return spine->x();
  const auto right = find(points, "11.contact_mesial"), left = find(points, "21.contact_mesial");
  if (right && left) return 0.5 * (right->x() + left->x());
  return std::nullopt;
}

/// Where the cut ends behind: at the pterygomaxillary junction.
std::optional<double> rear_end(const PointMap& points) {
  constexpr double kBehindSpine = 2, kTuberosity = 10;  // behind the second molar, mm: common practice, no source
  const auto right = find(points, "PMJ_right"), left = find(points, "PMJ_left");
  if (right && left) return 0.5 * (right->y() + left->y());
  if (const auto spine = find(points, "PNS")) return spine->y() + kBehindSpine;
  std::optional<double> end;
  for (const char* name : {"17.contact_distal", "27.contact_distal"}) {
    if (const auto p = find(points, name)) end = std::max(end.value_or(-1e9), p->y() + kTuberosity);
  }
  return end;
}

/// Whether both sides of a Le Fort I share one plane.
bool sides_alike(const Osteotomy& cut) {
  bool alike = true;
  for (const std::string key : {"level_right_mm", "slope_right_deg", "step_right_mm"}) {
    std::string partner = key;
    partner.replace(partner.find("right"), 5, "left");
    alike = alike && cut.settings.at(key) == cut.settings.at(partner);
  }
  return alike;
}

Result<std::vector<PieceCut>> place_lefort(const Osteotomy& cut, const PointMap& points) {
  const auto end = rear_end(points);
  if (!end)
    return place_first(cut_words(cut.kind), "PMJ on both sides, or PNS, or the distal contact of the second molars");
  const bool alike = sides_alike(cut);
  auto right = lefort_side(cut, points, true, alike);
  if (!right.ok()) return right.error();
  CutSurface level = right.value();
  if (!alike) {
    auto left = lefort_side(cut, points, false, false);
    if (!left.ok()) return left.error();
    const auto middle = midline(points);
    if (!middle) return place_first("the midline", "ANS, or the mesial contacts of 11 and 21");
    level = CutSurface::stepped(CutSurface::plane(*middle * kLeftward, kLeftward), right.value(), left.value());
  }
  const CutSurface rear = CutSurface::plane((*end + cut.setting("behind_mm")) * kBackward, kBackward);
  return std::vector<PieceCut>{{CutSurface::either(level, rear), "cranium", "maxilla"}};
}

/// The planes of one split, seen on its own side.
struct SplitPlaces {
  Vec3 ramus, plate, front, up_in_ramus;
  double level, middle;
};

Result<SplitPlaces> split_places(const Osteotomy& cut, const PointMap& points, const BoneProbe& probe, bool right) {
  const std::string side = right ? "_right" : "_left";
  const Vec3 out = right ? Vec3(-kLeftward) : kLeftward;
  const auto angle = find(points, "Go" + side), condyle = find(points, "condyle_centre" + side);
  const auto contact = find(points, right ? "46.contact_distal" : "36.contact_distal");
  const auto root = highest_apex(
      points, -kUpward, [right](int tooth) { return tooth == (right ? 47 : 37) || tooth == (right ? 46 : 36); });
  const auto other = find(points, right ? "condyle_centre_left" : "condyle_centre_right");
  if (!angle || !condyle || !contact || !other) {
    return place_first(cut_words(cut.kind), std::string("Go") + side + ", both condyle centres and " +
                                                (right ? "46.contact_distal" : "36.contact_distal"));
  }
  SplitPlaces at;
  const auto lingula = find(points, "lingula" + side);
  at.level = lingula
                 ? lingula->z() + cut.setting("level_mm")
                 : angle->z() + kLingulaShare * (condyle->z() - angle->z()) + cut.setting("level_mm") - kAboveLingula;
  at.middle = 0.5 * (condyle->x() + other->x());
  at.up_in_ramus = (*condyle - *angle).normalized();
  const double share = (at.level - angle->z()) / (condyle->z() - angle->z());
  const Vec3 within = *angle + 0.8 * share * (*condyle - *angle) - kBeforeEdge * kBackward;
  const auto outer = probe(within + kFar * out, -out);
  const auto inner = outer ? probe(*outer - 1e-3 * out, -out) : std::nullopt;
  if (!outer || !inner || (*outer - *inner).norm() > 30) {
    return Error{"the ramus is not where Go" + side + " and the condyle say", "", "check these landmarks"};
  }
  at.ramus = *outer + cut.setting("depth_share") * (*inner - *outer);
  at.front = *contact + cut.setting("front_mm") * kBackward;
  const double depth = root ? -*root : contact->z() - 20;  // beside the apices the outer plate is whole
  const auto plate = probe(Vec3(at.front.x(), at.front.y(), depth) + kFar * out, -out);
  if (!plate)
    return Error{"there is no bone beside the front end of the split", "", "check the landmarks of the molars"};
  at.plate = *plate - cut.setting("plate_mm") * out;
  return at;
}

Result<std::vector<PieceCut>> place_split(const Osteotomy& cut, const PointMap& points, const BoneProbe& probe) {
  const bool right = cut.kind == CutKind::split_right;
  auto placed = split_places(cut, points, probe, right);
  if (!placed.ok()) return placed.error();
  const SplitPlaces& at = placed.value();
  const Vec3 out = right ? Vec3(-kLeftward) : kLeftward;
  Vec3 outward = (at.ramus - at.plate).cross(at.up_in_ramus);
  if (outward.dot(out) < 0) outward = -outward;
  const CutSurface above = CutSurface::plane(at.level * kUpward, kUpward);
  const CutSurface outside = CutSurface::plane(at.ramus, outward);
  const CutSurface behind = CutSurface::plane(at.front, kBackward);
  const CutSurface this_side = CutSurface::plane(at.middle * kLeftward, out);
  const CutSurface ramus = CutSurface::both(CutSurface::either(above, CutSurface::both(outside, behind)), this_side);
  return std::vector<PieceCut>{{ramus, right ? "ramus_right" : "ramus_left", "mandible"}};
}

Result<std::vector<PieceCut>> place_chin(const Osteotomy& cut, const PointMap& points) {
  const Vec3 normal = tilted(cut.setting("slope_deg"));
  auto lowest = lower_apex(points, normal);
  for (const char* foramen : {"mental_foramen_right", "mental_foramen_left"}) {
    if (const auto p = find(points, foramen)) lowest = std::max(lowest.value_or(-1e9), -normal.dot(*p));
  }
  if (!lowest) return place_first(cut_words(cut.kind), "the root apices of the lower teeth, or the mental foramina");
  const double level = -*lowest - cut.setting("level_mm") - 0.5 * cut.kerf_mm();
  return std::vector<PieceCut>{{CutSurface::plane(level * normal, normal), "mandible", "chin"}};
}

/// The wall on one side distal of the last front tooth, positive in front of it.
Result<CutSurface> front_wall(const Osteotomy& cut, const PointMap& points, bool right) {
  const int last = (right ? 10 : 20) + static_cast<int>(cut.setting("front_teeth"));
  const std::string front = std::to_string(last), next = std::to_string(last + 1);
  const auto before = find(points, front + ".contact_mesial"), at = find(points, front + ".contact_distal");
  const auto behind = find(points, next + ".contact_distal");
  if (!before || !at || !behind) {
    return place_first("the cut between " + front + " and " + next,
                       front + ".contact_mesial, " + front + ".contact_distal and " + next + ".contact_distal");
  }
  Vec3 along = *before - *behind, upright = kUpward;
  along.z() = 0;
  const auto apex = find(points, front + ".apex"), next_apex = find(points, next + ".apex");
  if (apex && next_apex) upright = 0.5 * (*apex + *next_apex) - *at;  // between the roots, however they lean
  return CutSurface::plane(*at, along - along.dot(upright) / upright.squaredNorm() * upright);
}

Result<std::vector<PieceCut>> place_pieces(const Osteotomy& cut, const PointMap& points) {
  const auto right = find(points, "11.contact_mesial"), left = find(points, "21.contact_mesial");
  if (!right || !left) return place_first(cut_words(cut.kind), "11.contact_mesial and 21.contact_mesial");
  const CutSurface middle = CutSurface::plane(0.5 * (*right + *left), kLeftward);
  std::vector<PieceCut> cuts;
  if (cut.setting("count") == 3) {
    auto front_right = front_wall(cut, points, true), front_left = front_wall(cut, points, false);
    if (!front_right.ok()) return front_right.error();
    if (!front_left.ok()) return front_left.error();
    cuts.push_back({CutSurface::both(front_right.value(), front_left.value()), "maxilla_front", ""});
  }
  cuts.push_back({middle, "maxilla_left", "maxilla_right"});
  return cuts;
}

std::vector<CutLevel> lefort_levels(const Osteotomy& cut, const PointMap& points) {
  const bool alike = sides_alike(cut);
  std::vector<CutLevel> levels;
  for (const bool right : {true, false}) {
    const std::string side = right ? "right" : "left";
    const Vec3 normal = tilted(cut.settings.at("slope_" + side + "_deg"));
    const double mm = cut.settings.at("level_" + side + "_mm");
    if (upper_apex(points, normal, right || alike, !right || alike)) {
      levels.push_back({side, mm, "above the highest root tip" + (alike ? "" : " on the " + side), ""});
    } else {
      levels.push_back({side, mm + kAboveFloor - kAboveApices, "above the nasal floor",
                        "No upper root tip is known" + (alike ? "" : " on the " + side) +
                            ": the level is counted from the nasal floor, and no root is measured"});
    }
  }
  return levels;
}

CutLevel split_level(const Osteotomy& cut, const PointMap& points) {
  const double mm = cut.setting("level_mm");
  if (find(points, cut.kind == CutKind::split_right ? "lingula_right" : "lingula_left"))
    return {"", mm, "above the lingula", ""};
  return {"", mm - kAboveLingula, "above 45 % of the height from gonion to condyle",
          "The lingula is not placed: the level is counted from an estimate of it"};
}

CutLevel chin_level(const Osteotomy& cut, const PointMap& points) {
  const double mm = cut.setting("level_mm");
  const bool foramen = find(points, "mental_foramen_right") || find(points, "mental_foramen_left");
  const bool apex = lower_apex(points, tilted(cut.setting("slope_deg"))).has_value();
  if (foramen && apex) return {"", mm, "below the lower root tips and mental foramina", ""};
  return apex ? CutLevel{"", mm, "below the lower root tips",
                         "No mental foramen is placed: the way to the nerve is not measured"}
              : CutLevel{"", mm, "below the mental foramina",
                         "No lower root tip is known: the level is counted from the mental foramina, and no root is "
                         "measured"};
}

}  // namespace

std::vector<CutLevel> read_levels(const Osteotomy& cut, const PointMap& points) {
  switch (cut.kind) {
    case CutKind::lefort1:
      return lefort_levels(cut, points);
    case CutKind::split_right:
    case CutKind::split_left:
      return {split_level(cut, points)};
    case CutKind::chin:
      return {chin_level(cut, points)};
    case CutKind::pieces:
      break;
  }
  return {};
}

std::vector<std::string> lacking_of(const std::vector<CutLevel>& levels) {
  std::vector<std::string> lacking;
  for (const CutLevel& level : levels)
    if (!level.lacking.empty() && std::find(lacking.begin(), lacking.end(), level.lacking) == lacking.end())
      lacking.push_back(level.lacking);
  return lacking;
}

Result<std::vector<PieceCut>> place_osteotomy(const Osteotomy& cut, const PointMap& points, const BoneProbe& probe) {
  switch (cut.kind) {
    case CutKind::lefort1:
      return place_lefort(cut, points);
    case CutKind::split_right:
    case CutKind::split_left:
      return place_split(cut, points, probe);
    case CutKind::chin:
      return place_chin(cut, points);
    case CutKind::pieces:
      break;
  }
  return place_pieces(cut, points);
}

}  // namespace intercusp
