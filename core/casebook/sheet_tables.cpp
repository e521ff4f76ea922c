#include <algorithm>
#include <cmath>

#include "anatomy/occlusal_frame.h"
#include "casebook/condyles.h"
#include "casebook/face_plan.h"
#include "casebook/plate_sites.h"
#include "casebook/sheet_parts.h"
#include "surgery/movement_note.h"

namespace intercusp {

namespace {

bool stands_still(const Pose& pose) {
  return pose.isApprox(Pose::Identity(), 1e-9);
}

/// The jaw's own name in this case: cut or whole.
std::string jaw_segment(const SheetCase& s, bool lower) {
  for (const std::string& name : movable_segments(s.cut)) {
    if (lower ? name == "mandible" : name == "maxilla") return name;
  }
  return lower ? "lower" : "upper";
}

std::optional<Vec3> mean_of(const PointMap& points, const std::vector<std::string>& names) {
  Vec3 sum = Vec3::Zero();
  for (const std::string& name : names) {
    const auto found = points.find(name);
    if (found == points.end()) return std::nullopt;
    sum += found->second;
  }
  return Vec3(sum / static_cast<double>(names.size()));
}

struct ShownPoint {
  const char* words;
  std::vector<std::string> names;
};

const std::vector<ShownPoint>& shown_points() {
  static const std::vector<ShownPoint> kPoints{
      {"Upper incisors, midpoint", {"11.incisal_edge_mid", "21.incisal_edge_mid"}},
      {"16 mesiobuccal cusp", {"16.mesiobuccal_cusp"}},
      {"26 mesiobuccal cusp", {"26.mesiobuccal_cusp"}},
      {"ANS", {"ANS"}},
      {"PNS", {"PNS"}},
      {"Lower incisors, midpoint", {"31.incisal_edge_mid", "41.incisal_edge_mid"}},
      {"46 mesiobuccal cusp", {"46.mesiobuccal_cusp"}},
      {"36 mesiobuccal cusp", {"36.mesiobuccal_cusp"}},
      {"Pog", {"Pog"}}};
  return kPoints;
}

/// "right 5.0, left 5.0 mm above the highest root tip", or each side with what it is counted from.
std::string levels_words(const std::vector<CutLevel>& levels) {
  std::string words;
  for (std::size_t i = 0; i < levels.size(); ++i) {
    const CutLevel& level = levels[i];
    const bool same_follows = i + 1 < levels.size() && levels[i + 1].from == level.from;
    words += (words.empty() ? "" : ", ") + (level.side.empty() ? "" : level.side + " ") + fixed_number(level.mm, 1) +
             (same_follows ? "" : " mm " + level.from);
  }
  return words;
}

std::string settings_words(const SheetCut& of) {
  std::string words = levels_words(of.levels);
  const auto say = [&](const char* key, const char* before, const char* unit) {
    const auto found = of.cut.settings.find(key);
    if (found == of.cut.settings.end()) return;
    words += (words.empty() ? "" : ", ") + std::string(before) + fixed_number(found->second, 1) + unit;
  };
  say("depth_share", "depth ", "");
  say("count", "pieces ", "");
  say("saw_mm", "saw ", " mm");
  return words;
}

std::string touched_words(const BoneInWay& row) {
  if (row.touches.empty()) return "-";
  Touched nearest = row.touches.front();
  const std::string side = row.part.site.side + " ", tail = " in its canal";
  if (nearest.words.rfind(side, 0) == 0) nearest.words = nearest.words.substr(side.size());
  const std::size_t at = nearest.words.find(tail);
  if (at != std::string::npos) nearest.words.erase(at);
  return nearest.distance_mm <= 0 ? "meets the " + nearest.words
                                  : nearest.words + " " + fixed_number(nearest.distance_mm, 1);
}

/// A measure as a cell: never a bare sign.
std::string measured_words(const std::string& id, const MeasureValue& value) {
  if (value.relation) return relation_words(value.value, *value.relation);
  if (id.rfind("midline", 0) == 0) return towards(value.value, "left", "right", 2);
  return fixed_number(std::abs(value.value), 2) + (value.value > -0.005 ? "" : id == "overjet" ? " reverse" : " open");
}

std::string capital(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
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

}  // namespace

std::vector<std::string> sheet_movements(const SheetCase& s) {
  std::vector<std::string> sentences;
  const PointMap before = points_at(s.cut, {});
  for (const bool lower : {false, true}) {
    const std::string segment = jaw_segment(s, lower);
    const Pose pose = pose_of_segment(s.planned, segment);
    const std::string words = sheet_segment_words(segment);
    if (stands_still(pose)) {
      sentences.push_back(words + ": does not move.");
      continue;
    }
    const PointMap notes = note_points(before, lower ? Jaw::lower : Jaw::upper);
    const std::string note = write_movement_note(words, notes, pose);
    sentences.push_back(note.empty() ? words + ": " + movement_words(movement_of(pose, Vec3::Zero())) + "." : note);
  }
  for (const char* segment : {"maxilla_right", "maxilla_left", "maxilla_front", "chin"}) {
    const bool own = std::any_of(s.plan->entries.begin(), s.plan->entries.end(), [&](const PlanEntry& e) {
      return e.kind == PlanEntry::Kind::movement && e.segment == segment;
    });
    if (!own) continue;
    const Pose whole = pose_of_segment(s.planned, segment == std::string("chin") ? "mandible" : "maxilla");
    const Pose against = pose_of_segment(s.planned, segment) * whole.inverse();
    const auto pivot = pivot_point(s.cut, segment, "", s.rest);
    sentences.push_back(sheet_segment_words(segment) + ", besides: " +
                        movement_words(movement_of(against, pivot.ok() ? pivot.value() : Vec3(Vec3::Zero()))) + ".");
  }
  return sentences;
}

SheetTable movement_table(const SheetCase& s) {
  SheetTable table{"Movement of points, rest to planned (mm)",
                   {"point", "forward / back", "up / down", "to the patient's"},
                   {0.37, 0.21, 0.19, 0.23},
                   {},
                   {}};
  const PointMap before = points_at(s.cut, {}), after = points_at(s.cut, s.planned);
  for (const ShownPoint& point : shown_points()) {
    const auto from = mean_of(before, point.names), to = mean_of(after, point.names);
    if (!from || !to) continue;
    const Vec3 by = *to - *from;
    table.rows.push_back({point.words, towards(-by.y(), "forward", "back"), towards(by.z(), "up", "down"),
                          towards(by.x(), "left", "right")});
  }
  if (table.rows.empty()) table.notes.push_back("No landmark is placed, so no point can be followed.");
  return table;
}

std::string cut_title(CutKind kind) {
  const std::string words = cut_words(kind);
  return capital(words.rfind("the ", 0) == 0 ? words.substr(4) : words);
}

SheetTable cut_table(const SheetCase& s) {
  SheetTable table{
      "Cuts and the nearest root, canal or foramen", {"cut", "settings", "nearest"}, {0.17, 0.38, 0.45}, {}, {}};
  for (const SheetCut& cut : s.cuts) {
    std::string nearest = "no root or nerve placed";
    if (cut.nearest) {
      const CutClearance& row = *cut.nearest;
      nearest = row.distance_mm < 0 ? "MEETS the " + row.words + " by " + fixed_number(-row.distance_mm, 2) + " mm"
                                    : fixed_number(row.distance_mm, 2) + " mm to the " + row.words;
      if (row.distance_mm >= 0 && row.too_near()) nearest += " - UNDER " + fixed_number(row.limit_mm, 1);
    }
    table.rows.push_back({cut_title(cut.cut.kind), settings_words(cut), nearest});
  }
  if (table.rows.empty())
    table.notes.push_back(s.has_bone ? "The plan makes no cut." : "This case holds no bone, so nothing is cut.");
  return table;
}

SheetTable bone_table(const SheetCase& s, const std::vector<BoneInWay>& rows, double clearance_mm, std::size_t most) {
  SheetTable table{"Bone to remove, by site (deepest / thickness in mm, volume in mm3)",
                   {"site", "", "deepest", "thick", "volume", "comes near"},
                   {0.39, 0.115, 0.09, 0.075, 0.085, 0.245},
                   {},
                   {}};
  const std::size_t shown = std::min(most, rows.size());
  for (std::size_t i = 0; i < shown; ++i) {
    const BoneInWay& row = rows[i];
    const OverlapRegion& region = row.part.overlap;
    table.rows.push_back({capital(row.part.site.words), row.planned ? "planned" : "CONTACT",
                          fixed_number(region.deepest_mm, 2), fixed_number(row.part.thickness_mm, 2),
                          region.volume_mm3 ? fixed_number(*region.volume_mm3, 0) : "open", touched_words(row)});
  }
  double hidden = 0;
  for (std::size_t i = shown; i < rows.size(); ++i) hidden += rows[i].part.overlap.volume_mm3.value_or(0);
  if (shown < rows.size()) {
    table.notes.push_back("and " + std::to_string(rows.size() - shown) + " more places, " + fixed_number(hidden, 0) +
                          " mm3 together, all smaller: see the clearance list.");
  }
  if (!rows.empty()) {
    table.notes.push_back("planned: wedge along the cut; CONTACT: bone nobody asked to meet. Leave " +
                          fixed_number(clearance_mm, 1) + " mm where bone is taken off.");
  } else {
    table.notes.push_back(s.has_bone ? "No bone is in the way of the planned position."
                                     : "This case holds no bone, so none can be in the way.");
  }
  return table;
}

SheetTable plate_table(const SheetCase& s) {
  SheetTable table{"Plate sites (mm, mm2)",
                   {"site", "gap", "step", "contact", "bone", "screw tip to root"},
                   {0.31, 0.13, 0.16, 0.11, 0.12, 0.17},
                   {},
                   {}};
  std::vector<std::string> advice;
  for (const PlateGap& gap : plate_gaps(s.cut, s.plan, s.planned)) {
    const auto thickness = [](const std::optional<ScrewPath>& screw) {
      return screw ? fixed_number(screw->thickness_mm, 1) : std::string("-");
    };
    const std::optional<double> root = screw_tip_to_root(gap);
    table.rows.push_back({capital(gap.site.words),
                          !gap.facing      ? "none opposite"
                          : gap.gap_mm < 0 ? "overlap " + fixed_number(-gap.gap_mm, 1)
                                           : fixed_number(gap.gap_mm, 1),
                          gap.facing ? towards(gap.step_mm, "out", "in") : "-", fixed_number(gap.contact_mm2, 0),
                          thickness(gap.reference_screw) + " / " + thickness(gap.other_screw),
                          root ? fixed_number(*root, 1) : "no roots"});
    const std::string words = plate_advice(gap);
    if (!words.empty() && std::find(advice.begin(), advice.end(), words) == advice.end()) advice.push_back(words);
  }
  if (table.rows.empty())
    table.notes.push_back("No plate site: the plan cuts no bone, or its landmarks are not placed.");
  for (std::size_t i = 0; i < std::min<std::size_t>(2, advice.size()); ++i)
    table.notes.push_back(capital(advice[i]) + ".");
  return table;
}

SheetTable condyle_table(const SheetCase& s) {
  SheetTable table{"Condyles (joint spaces before > planned, mm)",
                   {"side", "shift", "turn", "front", "top", "behind"},
                   {0.1, 0.32, 0.1, 0.16, 0.16, 0.16},
                   {},
                   {}};
  for (const CondyleChange& change : condyle_changes(s.cut, s.planned)) {
    const auto space = [](const std::optional<double>& before, const std::optional<double>& after) {
      return before && after ? fixed_number(*before, 1) + " > " + fixed_number(*after, 1) : std::string("-");
    };
    const std::string shift = towards(-change.shift.y(), "fwd", "back") + ", " +
                              towards(change.shift.z(), "up", "down") + ", " +
                              towards(change.shift.x(), "left", "right");
    table.rows.push_back({change.right ? "Right" : "Left", shift, fixed_number(change.turn_deg, 1) + " deg",
                          space(change.before.anterior, change.after.anterior),
                          space(change.before.superior, change.after.superior),
                          space(change.before.posterior, change.after.posterior)});
  }
  if (table.rows.empty()) {
    table.notes.push_back("No condyle centre is placed.");
  } else {
    table.notes.push_back("Published: front 1.3, top 2.5, behind 2.1 (" + std::string(kJointSpaceSource) + ").");
  }
  return table;
}

SheetTable occlusion_table(const SheetCase& s) {
  SheetTable table{
      "Occlusion (mm)", {"measure", "before", "intermediate", "planned"}, {0.34, 0.22, 0.22, 0.22}, {}, {}};
  const MeasureInput inputs[] = {measure_input(s.cut, s.rest), measure_input(s.cut, s.intermediate),
                                 measure_input(s.cut, s.planned)};
  std::vector<MeasureRow> read[3];
  for (std::size_t i = 0; i < 3; ++i) read[i] = measure_all(inputs[i]);
  for (const char* id : {"overjet", "overbite", "midline_upper_lower", "midline_upper_face", "midline_lower_face",
                         "molar_right", "molar_left", "canine_right", "canine_left"}) {
    std::vector<std::string> row;
    for (std::size_t i = 0; i < 3; ++i) {
      const auto found = std::find_if(read[i].begin(), read[i].end(),
                                      [&](const MeasureRow& r) { return r.definition->id == std::string(id); });
      if (found == read[i].end()) continue;
      if (row.empty()) row.push_back(capital(found->definition->name));
      const std::string cell = found->value ? measured_words(id, *found->value) : "not measurable";
      row.push_back(i == 1 && !s.two_jaws ? "-" : cell);
    }
    if (row.size() == 4) table.rows.push_back(row);
  }
  for (const PathOverlap& way : s.on_the_way) {
    table.notes.push_back("On the way of step " + std::to_string(way.entry + 1) +
                          " the teeth pass through each other by up to " + fixed_number(way.deepest_mm, 2) + " mm (" +
                          teeth_words(way) + "): open the jaw for it.");
  }
  return table;
}

SheetTable face_table(const SheetCase& s) {
  SheetTable table{"The face (soft tissue by averages with a wide spread)",
                   {"what", "recorded", "planned"},
                   {0.44, 0.26, 0.3},
                   {},
                   {}};
  if (s.whole->face.empty()) return table;
  for (const FaceRow& row : face_rows(s.whole->face, face_move(s.cut, s.planned))) {
    const std::string planned = planned_words(row);
    if (row.recorded)
      table.rows.push_back(
          {capital(face_name(row)), face_words(row.id, *row.recorded), planned.empty() ? "-" : planned});
  }
  return table;
}

SheetTable vertical_table(const SheetCase& s) {
  SheetTable table{"The vertical, which no splint holds (mm)",
                   {"distance", "before", "planned", "change"},
                   {0.58, 0.12, 0.12, 0.18},
                   {},
                   {}};
  const PointMap before = points_at(s.cut, {}), after = points_at(s.cut, s.planned);
  const std::vector<std::string> edges{"11.incisal_edge_mid", "21.incisal_edge_mid"};
  const auto n0 = mean_of(before, {"N"}), n1 = mean_of(after, {"N"}), e0 = mean_of(before, edges),
             e1 = mean_of(after, edges);
  const auto add = [&](const std::string& words, double from, double to) {
    table.rows.push_back(
        {words, fixed_number(from, 2), fixed_number(to, 2), towards(to - from, "longer", "shorter", 2)});
  };
  if (n0 && n1 && e0 && e1) {
    add("Nasion to upper incisal edge, vertical", n0->z() - e0->z(), n1->z() - e1->z());
    add("Nasion to upper incisal edge, straight", (*n0 - *e0).norm(), (*n1 - *e1).norm());
  } else {
    table.notes.push_back("Nasion to incisal edge not measurable: place N and both upper incisal edges.");
  }
  for (const PlateGap& gap : plate_gaps(s.cut, s.plan, s.rest)) {
    const bool upper = gap.site.id.rfind("piriform", 0) == 0 || gap.site.id.rfind("buttress", 0) == 0;
    if (!upper || !gap.reference_screw || !gap.other_screw) continue;
    const Vec3 above = gap.reference_screw->entry, below = gap.other_screw->entry;
    add("Marks 4 mm above and below the cut, " + gap.site.words, (above - below).norm(),
        (above - pose_of_segment(s.planned, maxillary_piece_at(s, below)) * below).norm());
  }
  return table;
}

SheetTable stability_table(const SheetCase& s) {
  SheetTable table{"How moves like these are reported to hold", {}, {0.34, 0.66}, {}, {}};
  for (const StabilityNote& note : stability_notes(extent_of(s.cut, s.planned))) {
    std::string words = note.rank;
    if (note.beyond_usual) words += " - BEYOND: " + note.usual;
    table.rows.push_back({capital(note.move), words});
  }
  if (table.rows.empty()) {
    table.notes.push_back("No move of a millimetre or more.");
  } else {
    table.notes.push_back(
        "Hierarchy of stability: Proffit, Turvey and Phillips 1996, 2007 (Head Face Med 3:21); ranks partly from "
        "memory.");
  }
  return table;
}

}  // namespace intercusp
