#include <algorithm>

#include "anatomy/tooth_at.h"
#include "casebook/reports.h"
#include "casebook/sheet_parts.h"
#include "geometry/section.h"

namespace intercusp {

namespace {

constexpr double kDrawnMm = 15;  ///< of the section around the edge

/// The sagittal section of an arch through a point, around a middle, in the axes of the start.
std::vector<SheetLine> drawn_section(const PosedSurface& body, const Vec3& through, const OcclusalFrame& frame) {
  std::vector<SheetLine> lines;
  if (!body.surface) return lines;
  const auto flat = [&](const Vec3& p) {
    return Eigen::Vector2d((p - frame.origin).dot(frame.forward), (p - frame.origin).dot(frame.up));
  };
  const Eigen::Vector2d middle = flat(through);
  for (Polyline& line : section(*body.surface, body.patient_from_surface, through, frame.left)) {
    if (line.closed && !line.points.empty()) line.points.push_back(Vec3(line.points.front()));
    SheetLine run;
    for (const Vec3& p : line.points) {
      const Eigen::Vector2d q = flat(p);
      const bool near = (q - middle).lpNorm<Eigen::Infinity>() < kDrawnMm;
      if (near) run.push_back(q);
      if (!near && run.size() > 1) lines.push_back(run);
      if (!near) run.clear();
    }
    if (run.size() > 1) lines.push_back(std::move(run));
  }
  return lines;
}

/// The same of an arch that may be parted into pieces.
std::vector<SheetLine> arch_section(const SheetCase& s, const SegmentPoses& poses, const std::string& arch,
                                    const Vec3& through, const OcclusalFrame& frame) {
  std::vector<SheetLine> lines;
  for (const Body& body : s.cut.bodies) {
    if (body.name.rfind(arch, 0) != 0) continue;
    for (SheetLine& line : drawn_section({body.surface, pose_of_body(s.cut, body, poses)}, through, frame))
      lines.push_back(std::move(line));
  }
  return lines;
}

std::string headline_pair(const std::vector<MeasureRow>& rows) {
  for (const char* id : {"overjet", "overbite"}) {
    const MeasureRow* row = row_of(rows, id);
    if (!row) continue;
    for (const PairReading& pair : row->value->pairs) {
      if (pair.value == row->value->value) return pair.between;
    }
  }
  return {};
}

}  // namespace

const MeasureRow* row_of(const std::vector<MeasureRow>& rows, const std::string& id) {
  const auto found =
      std::find_if(rows.begin(), rows.end(), [&](const MeasureRow& r) { return r.definition->id == id; });
  return found == rows.end() || !found->value ? nullptr : &*found;
}

std::optional<double> amount_of(const std::vector<MeasureRow>& rows, const char* id) {
  const MeasureRow* row = row_of(rows, id);
  return row ? std::optional<double>(row->value->value) : std::nullopt;
}

SheetTeeth sheet_teeth(const SheetCase& s, const std::vector<ContactPair>& pairs) {
  SheetTeeth teeth;
  const PointMap points = points_at(s.cut, s.planned);
  const auto middle = mean_of(points, {"11.incisal_edge_mid", "21.incisal_edge_mid"});
  for (const ContactPair& pair : pairs) {
    const bool arches = pair.first.find("arch") != std::string::npos && pair.second.find("arch") != std::string::npos;
    if (!arches) continue;
    teeth.both_arches = true;
    teeth.contacts += static_cast<int>(pair.result.contacts.size());
    for (const ContactPatch& patch : pair.result.contacts)
      teeth.contacts_right += patch.at.x() < (middle ? middle->x() : 0.0);
    for (const OverlapRegion& region : pair.result.regions) teeth.overlaps += region.deepest_mm >= kTouchingDepthMm;
    if (pair.result.regions.empty() || pair.result.regions.front().deepest_mm <= teeth.deepest_mm) continue;
    const OverlapRegion& deepest = pair.result.regions.front();
    teeth.deepest_mm = deepest.deepest_mm;
    teeth.upper_tooth = tooth_at(points, deepest.at, Jaw::upper);
    teeth.lower_tooth = tooth_at(points, deepest.at, Jaw::lower);
  }
  return teeth;
}

SheetBite sheet_bite(const SheetCase& s, const SheetTeeth& teeth) {
  SheetBite bite;
  bite.contacts = teeth.contacts;
  bite.contacts_right = teeth.contacts_right;
  const MeasureInput start = measure_input(s.cut, s.rest);
  const auto &before = s.read_rest, &rows = s.read_planned;
  bite.overjet = amount_of(rows, "overjet");
  bite.overbite = amount_of(rows, "overbite");
  bite.midline = amount_of(rows, "midline_upper_lower");
  bite.midline_upper_face = amount_of(rows, "midline_upper_face");
  bite.midline_lower_face = amount_of(rows, "midline_lower_face");
  for (const char* id : {"molar_right", "canine_right", "canine_left", "molar_left"}) {
    SheetRelation relation;
    relation.name = std::string(id).substr(0, std::string(id).find('_'));
    relation.right = std::string(id).find("right") != std::string::npos;
    relation.mm_before = amount_of(before, id);
    relation.mm = amount_of(rows, id);
    if (const MeasureRow* row = row_of(rows, id)) {
      relation.relation = row->value->relation.value_or("");
      relation.unit_mm = row->value->unit_mm.value_or(7);
    }
    bite.relations.push_back(relation);
  }
  bite.pair = headline_pair(rows);
  if (bite.pair.size() != 5 || !start.frame) return bite;
  const auto place = [&](const SegmentPoses& poses) { return points_at(s.cut, poses); };
  const std::string edge = bite.pair.substr(0, 2) + ".incisal_edge_mid";
  const PointMap from = place(s.rest), to = place(s.planned);
  if (from.count(edge) == 0) return bite;
  bite.upper = arch_section(s, s.planned, "upper_arch", to.at(edge), *start.frame);
  bite.lower = arch_section(s, s.planned, "lower_arch", to.at(edge), *start.frame);
  bite.upper_before = arch_section(s, s.rest, "upper_arch", from.at(edge), *start.frame);
  bite.lower_before = arch_section(s, s.rest, "lower_arch", from.at(edge), *start.frame);
  return bite;
}

}  // namespace intercusp
