#include "surgery/bone_site.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "skeleton/midsagittal.h"

namespace intercusp {
namespace {

// Half widths of the places, mm: after the sample's form and common practice, no source.
constexpr double kSeptum = 3.2, kWallOfNose = 3.2, kRimDepth = 6, kRimWidth = 5, kTurbinateAbove = 5;
constexpr double kCanalZone = 6, kBeforeSpine = 8, kButtress = 8, kCondyle = 14;

std::optional<Vec3> mark_of(const PointMap& points, const std::string& name) {
  const auto found = points.find(name);
  return found == points.end() ? std::nullopt : std::optional<Vec3>(found->second);
}

/// The rearmost of the distal contacts that are placed.
std::optional<double> last_contact(const PointMap& points, int quadrant) {
  std::optional<double> y;
  for (const int position : {6, 7, 8}) {
    const auto p = mark_of(points, std::to_string(10 * quadrant + position) + ".contact_distal");
    if (p) y = std::max(y.value_or(p->y()), p->y());
  }
  return y;
}

bool begins(const std::string& text, const char* with) {
  return text.rfind(with, 0) == 0;
}

bool of_lower_jaw(const std::string& segment) {
  return segment == "lower" || segment == "mandible" || segment == "chin" || begins(segment, "ramus");
}

BoneSite site(const char* id, std::size_t side, const std::string& words, bool on_cut_line = false) {
  const std::string name = side == 0 ? "right" : "left";
  return {id, name, name + " " + words, on_cut_line};
}

}  // namespace

double distance_to_chain(const std::vector<Vec3>& chain, const Vec3& p) {
  double best = std::numeric_limits<double>::infinity();
  if (chain.size() == 1) return (p - chain.front()).norm();
  for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
    const Vec3 along = chain[i + 1] - chain[i];
    const double length = along.squaredNorm();
    const double t = length > 0 ? std::clamp((p - chain[i]).dot(along) / length, 0.0, 1.0) : 0.0;
    best = std::min(best, (p - chain[i] - t * along).norm());
  }
  return best;
}

BoneSites::BoneSites(const PointMap& at_rest) {
  set_midline(at_rest);
  double floor = 0;
  int spines = 0;
  for (const char* name : {"ANS", "PNS"}) {
    if (const auto p = mark_of(at_rest, name)) {
      floor += p->z();
      ++spines;
    }
  }
  const auto edge = mark_of(at_rest, "11.incisal_edge_mid");
  floor_z_ = spines > 0 ? floor / spines : 27 + (edge ? edge->z() : 0);
  for (const bool right : {true, false}) set_side(at_rest, right);
  const auto spine = mark_of(at_rest, "PNS");
  spine_back_y_ = spine ? spine->y() : std::min(sides_[0].junction_y, sides_[1].junction_y) - 3;
}

void BoneSites::set_midline(const PointMap& points) {
  if (const auto plane = midsagittal_plane(points)) {
    mid_point_ = plane->point;
    mid_normal_ = plane->normal;
    return;
  }
  for (const char* name : {"ANS", "PNS", "A", "raphe_anterior"}) {
    if (const auto p = mark_of(points, name)) {
      mid_point_ = *p;
      return;
    }
  }
  const auto right = mark_of(points, "11.contact_mesial"), left = mark_of(points, "21.contact_mesial");
  if (right && left) mid_point_ = 0.5 * (*right + *left);
}

void BoneSites::set_side(const PointMap& points, bool right) {
  SideMarks& s = sides_[right ? 0 : 1];
  const std::string tail = right ? "_right" : "_left";
  if (const auto rim = mark_of(points, "NC" + tail)) {
    s.nose_half = std::abs(lateral(*rim));
    s.rim_y = rim->y();
  } else if (const auto spine = mark_of(points, "ANS")) {
    s.rim_y = spine->y() + 6;
  }
  s.last_molar_y = last_contact(points, right ? 1 : 2).value_or(s.last_molar_y);
  s.lower_molar_y = last_contact(points, right ? 4 : 3).value_or(s.lower_molar_y);
  const auto first_molar = mark_of(points, right ? "16.buccal_groove" : "26.buccal_groove");
  const auto hollow = mark_of(points, "J" + tail);
  s.buttress_y = hollow ? hollow->y() : first_molar ? first_molar->y() : s.last_molar_y - 14;
  const auto junction = mark_of(points, "PMJ" + tail), spine = mark_of(points, "PNS");
  s.junction_y = junction ? junction->y() : spine ? spine->y() + 2 : s.last_molar_y + 10;
  for (const std::string name : {"greater_palatine_foramen", "palatine_canal_top"}) {
    if (const auto p = mark_of(points, name + tail)) s.canal.push_back(*p);
  }
  if (s.canal.empty()) {
    const double y = spine ? spine->y() - 2 : s.junction_y - 5;
    Vec3 foot = mid_point_ + (right ? -15 : 15) * mid_normal_;
    foot.y() = y;
    for (const double above : {-8.0, 12.0}) s.canal.emplace_back(foot.x(), foot.y() + 0.1 * above, floor_z_ + above);
  }
  s.condyle = mark_of(points, "condyle_centre" + tail);
  s.lingula = mark_of(points, "lingula" + tail);
}

BoneSite BoneSites::at(const SiteSegment& first, const SiteSegment& second, const Vec3& p) const {
  const bool lower_first = of_lower_jaw(first.name), lower_second = of_lower_jaw(second.name);
  const std::size_t side = lateral(p) < 0 ? 0 : 1;
  if (lower_first && lower_second) {
    if (first.name == "chin" || second.name == "chin") return {"chin_cut", "", "chin against the mandible", true};
    const SiteSegment& mandible = first.name == "mandible" ? first : second;
    const SiteSegment& ramus = first.name == "mandible" ? second : first;
    return within_mandible(mandible.pose.inverse() * p, ramus.name != "ramus_left");
  }
  if (lower_first) return lower_on_upper(first, second, p);
  if (lower_second) return lower_on_upper(second, first, p);
  const bool skull = first.name == "cranium" || second.name == "cranium";
  if (skull) return maxilla_on_skull(p);
  if (std::abs(lateral(p)) < 6) return {"midline_cut", "", "midline of the palate, between the pieces", true};
  return site("interdental_cut", side, "cut between the pieces of the upper jaw", true);
}

BoneSite BoneSites::maxilla_on_skull(const Vec3& p) const {
  const std::size_t side = lateral(p) < 0 ? 0 : 1;
  const SideMarks& s = sides_[side];
  const double out = std::abs(lateral(p));
  if (p.y() >= s.junction_y && out > 0.5 * s.nose_half) {
    return site("pterygoid", side, "tuberosity against the pterygoid plate");
  }
  if (out <= kSeptum) return {"septum", "", "nasal septum and vomer", false};
  const double canal_out = std::abs(lateral(s.canal.front()));
  const bool near_canal = distance_to_chain(s.canal, p) <= kCanalZone && out <= canal_out + 3;
  if (near_canal || (p.y() >= spine_back_y_ - kBeforeSpine && out <= canal_out + 1)) {
    return site("palatine_bone", side, "palatine bone beside the descending palatine vessels");
  }
  const bool at_rim = p.y() <= s.rim_y + kRimDepth && std::abs(out - s.nose_half) <= kRimWidth;
  if (!at_rim && out <= s.nose_half + kWallOfNose) return inside_nose(p, side);
  if (at_rim) return site("piriform_rim", side, "piriform rim", true);
  return outer_wall(p, side);
}

BoneSite BoneSites::inside_nose(const Vec3& p, std::size_t side) const {
  const bool hangs_free = std::abs(lateral(p)) < sides_[side].nose_half - 1.5 && p.z() > floor_z_ + kTurbinateAbove;
  if (hangs_free) return site("turbinate", side, "lower turbinate");
  return site("lateral_nasal_wall", side, "lateral nasal wall");
}

BoneSite BoneSites::outer_wall(const Vec3& p, std::size_t side) const {
  const SideMarks& s = sides_[side];
  if (p.y() < s.buttress_y - kButtress) return site("sinus_front_wall", side, "front wall of the sinus", true);
  if (p.y() <= s.buttress_y + kButtress) return site("buttress", side, "zygomatic buttress", true);
  if (p.y() <= s.last_molar_y) return site("sinus_side_wall", side, "side wall of the sinus behind the buttress", true);
  return site("tuberosity", side, "tuberosity and rear wall of the sinus", true);
}

BoneSite BoneSites::within_mandible(const Vec3& in_mandible, bool right) const {
  const std::size_t side = right ? 0 : 1;
  const SideMarks& s = sides_[side];
  if (in_mandible.y() <= s.lower_molar_y) {
    return site("split_front", side, "proximal against distal segment, at the front end of the split", true);
  }
  if (s.lingula && in_mandible.z() > s.lingula->z()) {
    return site("split_inner", side, "proximal against distal segment, at the inner cut above the lingula");
  }
  return site("split", side, "proximal against distal segment, behind the last molar");
}

BoneSite BoneSites::lower_on_upper(const SiteSegment& lower, const SiteSegment& upper, const Vec3& p) const {
  const std::size_t side = lateral(p) < 0 ? 0 : 1;
  const SideMarks& s = sides_[side];
  if (s.condyle && (lower.pose * *s.condyle - p).norm() < kCondyle) {
    return site("joint", side, "condyle against its fossa");
  }
  if (upper.name != "cranium") return site("ramus_tuberosity", side, "lower jaw against the upper jaw");
  if (p.y() > s.junction_y - 4 && std::abs(lateral(p)) < 26 && p.z() < floor_z_ + 30) {
    return site("ramus_pterygoid", side, "lower jaw against the pterygoid plate");
  }
  return site("coronoid", side, "coronoid process or front edge of the ramus against the cheekbone");
}

}  // namespace intercusp
