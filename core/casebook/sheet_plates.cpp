// Where plates lie: gaps, steps, what each screw comes near, and the marks that hold the vertical.
#include <algorithm>
#include <cmath>
#include <map>

#include "casebook/bone_in_way.h"
#include "casebook/sheet_parts.h"

namespace intercusp {

namespace {

constexpr double kAlongScrew = 0.25;  ///< mm between the points of a screw that are looked at

std::vector<Vec3> points_of(const ScrewPath& screw) {
  const Vec3 way = screw.tip - screw.entry;
  const int steps = std::max(1, static_cast<int>(std::ceil(way.norm() / kAlongScrew)));
  std::vector<Vec3> points;
  for (int i = 0; i <= steps; ++i) points.push_back(screw.entry + static_cast<double>(i) / steps * way);
  return points;
}

/// The point of any root's surface that is nearest to these points.
std::optional<Vec3> nearest_of_roots(const SheetCase& s, const std::vector<Vec3>& points) {
  std::optional<Vec3> found;
  double best = 1e9;
  for (const Body& body : s.cut.bodies) {
    if (!holds_roots(body.name)) continue;
    const Pose pose = pose_of_body(s.cut, body, s.planned), own = pose.inverse();
    for (const Vec3& p : points) {
      ClosestPoint closest;
      if (!body.surface->bvh().closest(body.surface->mesh(), own * p, best, closest)) continue;
      best = closest.distance_mm;
      found = pose * closest.point;
    }
  }
  return found;
}

/// The tooth whose axis, from the middle of its crown's landmarks to an apex, is nearest: beside the neck of a root the
/// apex of its neighbour can be nearer than its own. Empty where no tooth has both.
std::string tooth_of_root(const PointMap& points, const Vec3& at) {
  struct Marks {
    Vec3 crown = Vec3::Zero();
    int count = 0;
    std::vector<Vec3> apices;
  };
  std::map<std::string, Marks> teeth;
  for (const auto& [name, p] : points) {
    if (name.size() < 4 || name[2] != '.') continue;
    Marks& tooth = teeth[name.substr(0, 2)];
    if (name.compare(3, 4, "apex") == 0) {
      tooth.apices.push_back(p);
    } else {
      tooth.crown += p;
      ++tooth.count;
    }
  }
  std::string nearest;
  double best = 1e9;
  for (const auto& [number, tooth] : teeth) {
    if (tooth.count == 0) continue;
    for (const Vec3& apex : tooth.apices) {
      const double away = distance_to_chain({Vec3(tooth.crown / tooth.count), apex}, at);
      if (away >= best) continue;
      best = away;
      nearest = number;
    }
  }
  return nearest;
}

const char* screw_bone(const PlateGap& gap, bool reference) {
  if (gap.site.id.rfind("split", 0) == 0) return reference ? "in the ramus" : "in the lower jaw";
  return reference ? "above the cut" : "below the cut";
}

SheetScrew screw_of(const SheetCase& s, const PlateGap& gap, bool reference, const PointMap& points) {
  const ScrewPath& path = reference ? *gap.reference_screw : *gap.other_screw;
  SheetScrew screw{gap.site.words, screw_bone(gap, reference), path.path_to_root_mm, std::nullopt, ""};
  const std::vector<Vec3> along = points_of(path);
  if (screw.root_mm && *screw.root_mm < kScrewNearMm) {
    if (const auto at = nearest_of_roots(s, along)) screw.tooth = tooth_of_root(points, *at);
  }
  for (const char* side : {"right", "left"}) {
    const auto away = from_mandibular_canal(points, side, along);
    if (away) screw.canal_mm = std::min(screw.canal_mm.value_or(1e9), *away);
  }
  return screw;
}

std::optional<double> least_to_root(const PlateGap& gap) {
  std::optional<double> least;
  for (const auto& screw : {gap.reference_screw, gap.other_screw}) {
    if (screw && screw->path_to_root_mm) least = std::min(least.value_or(1e9), *screw->path_to_root_mm);
  }
  return least;
}

/// Remarks that several sites share, each said once under a number that the rows carry.
class NumberedRemarks {
 public:
  std::string number_of(const std::string& words) {
    const auto found = std::find(said_.begin(), said_.end(), words);
    const auto at = static_cast<std::size_t>(found - said_.begin());
    if (found == said_.end()) said_.push_back(words);
    return std::to_string(at + 1);
  }

  std::string joined() const {
    std::string all;
    for (std::size_t i = 0; i < said_.size(); ++i) add_phrase(all, std::to_string(i + 1) + ": " + said_[i] + ".", "  ");
    return all;
  }

 private:
  std::vector<std::string> said_;
};

std::string remark_numbers(const SheetCase& s, const PlateGap& gap, NumberedRemarks& notes) {
  std::string numbers;
  for (const PlateRemark& remark : plate_remarks(gap)) {
    const std::string more = remark.considered.empty() ? "" : ", " + remark.considered + " (" + remark.source + ")";
    add_phrase(numbers, notes.number_of(remark.what + more));
  }
  const PointMap points = points_at(s.cut, s.planned);
  for (const bool reference : {true, false}) {
    if (!(reference ? gap.reference_screw : gap.other_screw)) continue;
    const SheetScrew screw = screw_of(s, gap, reference, points);
    if (screw.canal_mm && *screw.canal_mm < kScrewNearMm) {
      add_phrase(numbers, notes.number_of("a screw comes within 1 mm of the mandibular canal"));
      break;
    }
  }
  return numbers.empty() ? "-" : numbers;
}

std::vector<std::string> plate_row_of(const SheetCase& s, const PlateGap& gap, NumberedRemarks& notes) {
  const auto thickness = [](const std::optional<ScrewPath>& screw) {
    return screw ? fixed_number(screw->thickness_mm, 1) : std::string("-");
  };
  const std::optional<double> root = least_to_root(gap);
  return {capital(gap.site.words),
          !gap.facing      ? "none opposite"
          : gap.gap_mm < 0 ? "overlap " + fixed_number(-gap.gap_mm, 1)
                           : fixed_number(gap.gap_mm, 1),
          gap.facing ? towards(gap.step_mm, "out", "in") : "-",
          fixed_number(gap.contact_mm2, 0),
          thickness(gap.reference_screw) + " / " + thickness(gap.other_screw),
          !root        ? "no roots"
          : *root <= 0 ? "MEETS"
                       : fixed_number(*root, 2),
          remark_numbers(s, gap, notes)};
}

/// A site that a cut should have, and the landmarks without which it has none.
struct UsualSite {
  CutKind cut;
  const char *id, *words;
  std::vector<std::string> needs;
};

const std::vector<UsualSite>& usual_sites() {
  static const std::vector<UsualSite> kSites{
      {CutKind::lefort1, "piriform_rim_right", "right piriform rim", {"NC_right"}},
      {CutKind::lefort1, "buttress_right", "right zygomatic buttress", {"J_right"}},
      {CutKind::lefort1, "piriform_rim_left", "left piriform rim", {"NC_left"}},
      {CutKind::lefort1, "buttress_left", "left zygomatic buttress", {"J_left"}},
      {CutKind::split_right, "split_right", "right split", {"46.contact_distal", "47.contact_mesial"}},
      {CutKind::split_left, "split_left", "left split", {"36.contact_distal", "37.contact_mesial"}},
      {CutKind::chin, "chin_right", "right side of the chin", {"Pog"}},
      {CutKind::chin, "chin_left", "left side of the chin", {"Pog"}}};
  return kSites;
}

/// The usual sites of the plan's cuts that have no row, each with the reason.
std::string sites_without_row(const SheetCase& s) {
  const PointMap points = points_at(s.cut, {});
  std::string words;
  for (const UsualSite& site : usual_sites()) {
    const bool cut =
        std::any_of(s.cuts.begin(), s.cuts.end(), [&](const SheetCut& c) { return c.cut.kind == site.cut; });
    const bool has_row =
        std::any_of(s.plates.begin(), s.plates.end(), [&](const PlateGap& gap) { return gap.site.id == site.id; });
    if (!cut || has_row) continue;
    std::string lacking;
    for (const std::string& need : site.needs) {
      if (points.count(need) == 0) add_phrase(lacking, need);
    }
    add_phrase(words,
               std::string(site.words) + (lacking.empty() ? " (no bone found there)" : " (place " + lacking + ")"));
  }
  return words;
}

/// The piece of the upper jaw on whose bone a point lies at rest.
std::string maxillary_piece_at(const SheetCase& s, const Vec3& p) {
  std::string piece = jaw_segment(s, false);
  double nearest = 1e9;
  for (const Body& body : s.cut.bodies) {
    const std::string segment = segment_of_body(s.cut, body);
    if (is_dental(body.name) || segment.rfind("maxilla", 0) != 0) continue;
    ClosestPoint closest;
    const Vec3 own = pose_of_body(s.cut, body, s.rest).inverse() * p;
    if (!body.surface->bvh().closest(body.surface->mesh(), own, nearest, closest)) continue;
    nearest = closest.distance_mm;
    piece = segment;
  }
  return piece;
}

/// A distance from a mark that stays to one that moves. How high the moving one goes stands for itself: an advance
/// makes a straight distance longer and hides an impaction.
std::vector<std::string> distance_row(const std::string& words, double before, double planned, double moved_up) {
  return {words, fixed_number(before, 2), fixed_number(planned, 2), towards(moved_up, "up", "down", 2)};
}

}  // namespace

std::vector<SheetScrew> sheet_screws(const SheetCase& s) {
  const PointMap points = points_at(s.cut, s.planned);
  std::vector<SheetScrew> screws;
  for (const PlateGap& gap : s.plates) {
    for (const bool reference : {true, false}) {
      if (reference ? gap.reference_screw : gap.other_screw) screws.push_back(screw_of(s, gap, reference, points));
    }
  }
  return screws;
}

std::string screw_words(const SheetScrew& screw) {
  const bool of_canal = screw.canal_mm && *screw.canal_mm < screw.root_mm.value_or(1e9);
  const double away = of_canal ? *screw.canal_mm : screw.root_mm.value_or(1e9);
  if (away >= kScrewNearMm) return {};
  const std::string what = of_canal              ? "the mandibular canal"
                           : screw.tooth.empty() ? "a root"
                                                 : "the root of " + screw.tooth;
  return away <= 0 ? "MEETS " + what : fixed_number(away, 2) + " mm from " + what;
}

SheetTable plate_table(const SheetCase& s) {
  SheetTable table{"Plate sites (mm, mm2)",
                   {"site", "gap", "step", "contact", "bone", "screw to root", "notes"},
                   {0.29, 0.13, 0.11, 0.1, 0.12, 0.14, 0.11},
                   {},
                   {}};
  NumberedRemarks notes;
  for (const PlateGap& gap : s.plates) table.rows.push_back(plate_row_of(s, gap, notes));
  if (table.rows.empty())
    table.notes.push_back("No plate site: the plan cuts no bone, or its landmarks are not placed.");
  if (const std::string all = notes.joined(); !all.empty()) table.notes.push_back(all);
  if (const std::string lacking = sites_without_row(s); !lacking.empty())
    table.notes.push_back("Not measured: " + lacking + ".");
  return table;
}

SheetTable vertical_table(const SheetCase& s) {
  SheetTable table{"The vertical, which no splint holds (mm)",
                   {"distance", "before", "planned", "lower mark"},
                   {0.58, 0.12, 0.12, 0.18},
                   {},
                   {}};
  const PointMap before = points_at(s.cut, {}), after = points_at(s.cut, s.planned);
  const std::vector<std::string> edges{"11.incisal_edge_mid", "21.incisal_edge_mid"};
  const auto n0 = mean_of(before, {"N"}), n1 = mean_of(after, {"N"}), e0 = mean_of(before, edges),
             e1 = mean_of(after, edges);
  if (n0 && n1 && e0 && e1) {
    const double up = e1->z() - e0->z();
    table.rows.push_back(
        distance_row("Nasion to upper incisal edge, vertical", n0->z() - e0->z(), n1->z() - e1->z(), up));
    table.rows.push_back(
        distance_row("Nasion to upper incisal edge, straight", (*n0 - *e0).norm(), (*n1 - *e1).norm(), up));
  } else {
    table.notes.push_back("Nasion to incisal edge not measurable: place N and both upper incisal edges.");
  }
  for (const PlateGap& gap : s.plates_at_rest) {
    const bool upper = gap.site.id.rfind("piriform", 0) == 0 || gap.site.id.rfind("buttress", 0) == 0;
    if (!upper || !gap.reference_screw || !gap.other_screw) continue;
    const Vec3 above = gap.reference_screw->entry, below = gap.other_screw->entry;
    const Vec3 then = pose_of_segment(s.planned, maxillary_piece_at(s, below)) * below;
    table.rows.push_back(distance_row("Marks 4 mm above and below the cut, " + gap.site.words, (above - below).norm(),
                                      (above - then).norm(), (then - below).z()));
  }
  if (!table.rows.empty()) {
    table.notes.push_back(
        "Straight and between marks: as a caliper takes them, with the advance. Last column: how high the lower mark "
        "goes.");
  }
  return table;
}

}  // namespace intercusp
