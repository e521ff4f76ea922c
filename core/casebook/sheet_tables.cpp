// The condyles, the bite, the face, and how such moves hold.
#include <algorithm>
#include <cmath>
#include <map>

#include "casebook/condyles.h"
#include "casebook/face_plan.h"
#include "casebook/reports.h"
#include "casebook/sheet_parts.h"

namespace intercusp {

namespace {

/// A measure as a cell: never a bare sign.
std::string measured_words(const std::string& id, const MeasureValue& value) {
  if (value.relation) return relation_words(value.value, *value.relation);
  if (id.rfind("midline", 0) == 0) return towards(value.value, "left", "right", 2);
  return fixed_number(std::abs(value.value), 2) + (value.value > -0.005 ? "" : id == "overjet" ? " reverse" : " open");
}

/// The name of a measure as the sheet has it: where the clinic may have read the same, it says whose reading it is.
std::string measure_title(const MeasureDefinition& definition) {
  if (definition.id == "midline_upper_face") return "Upper midline to the face, by the records";
  if (definition.id == "midline_lower_face") return "Lower midline to the face, by the records";
  return capital(definition.name);
}

/// The turn of a condyle with its directions: "pitch 2.5 front up, yaw 1.0 left".
std::string condyle_turn(const Angles& turned) {
  std::string words;
  const auto say = [&](const char* name, double degrees, const char* positive, const char* negative) {
    const std::string size = towards(degrees, positive, negative);
    if (size.find(' ') != std::string::npos) add_phrase(words, name + size);
  };
  say("pitch ", turned.pitch_deg, "front up", "front down");
  say("roll ", turned.roll_deg, "left down", "left up");
  say("yaw ", turned.yaw_deg, "left", "right");
  return words.empty() ? "0.0" : words;
}

/// A joint space before and as planned; none where the condyle lies in its fossa, a dash where there is no fossa.
std::string space_words(const std::optional<double>& before, const std::optional<double>& after, bool in_fossa) {
  if (!before && !after) return in_fossa ? "none (in the fossa)" : "-";
  const std::string from = before ? fixed_number(*before, 1) : std::string("-");
  return from + " > " + (after ? fixed_number(*after, 1) : in_fossa ? "none (in the fossa)" : "-");
}

}  // namespace

SheetTable condyle_table(const SheetCase& s, const std::vector<BoneInWay>& bone) {
  SheetTable table{"Condyles (joint spaces before > planned, mm)",
                   {"side", "shift", "turn (degrees)", "front", "top", "behind"},
                   {0.08, 0.3, 0.23, 0.13, 0.13, 0.13},
                   {},
                   {}};
  bool lacking = false;
  for (const CondyleChange& change : condyle_changes(s.cut, s.planned)) {
    const std::string side = change.right ? "right" : "left";
    const bool in_fossa = std::any_of(bone.begin(), bone.end(), [&](const BoneInWay& row) {
      return in_joint(row) && row.part.site.side == side && row.part.overlap.deepest_mm >= kTouchingDepthMm;
    });
    const auto space = [&](const std::optional<double>& before, const std::optional<double>& after) {
      return space_words(before, after, in_fossa);
    };
    lacking = lacking || (!in_fossa && !change.after.superior);
    const std::string shift = towards(-change.shift.y(), "fwd", "back") + ", " +
                              towards(change.shift.z(), "up", "down") + ", " +
                              towards(change.shift.x(), "left", "right");
    table.rows.push_back(
        {capital(side), shift, condyle_turn(change.turned), space(change.before.anterior, change.after.anterior),
         space(change.before.superior, change.after.superior), space(change.before.posterior, change.after.posterior)});
  }
  if (table.rows.empty()) {
    table.notes.push_back("No condyle centre is placed.");
  } else {
    table.notes.push_back("Published: front 1.3, top 2.5, behind 2.1 (" + std::string(kJointSpaceSource) + ").");
  }
  if (lacking) table.notes.push_back("-: the slice through the condyle meets no fossa there.");
  return table;
}

SheetTable occlusion_table(const SheetCase& s) {
  SheetTable table{"Occlusion (mm)", {"measure", "before", "intermediate", "planned"}, {0.4, 0.2, 0.2, 0.2}, {}, {}};
  std::map<std::string, std::string> lacking;  // what is needed: by which measures
  for (const char* id : {"overjet", "overbite", "midline_upper_lower", "midline_upper_face", "midline_lower_face",
                         "molar_right", "molar_left", "canine_right", "canine_left"}) {
    std::vector<std::string> row;
    for (const auto* read : {&s.read_rest, &s.read_between, &s.read_planned}) {
      const auto found =
          std::find_if(read->begin(), read->end(), [&](const MeasureRow& r) { return r.definition->id == id; });
      if (found == read->end()) continue;
      if (row.empty()) row.push_back(measure_title(*found->definition));
      const std::string cell = found->value ? measured_words(id, *found->value) : "not measurable";
      row.push_back(read == &s.read_between && !s.two_jaws ? "-" : cell);
      if (found->value || read != &s.read_planned) continue;
      std::string needs;
      for (const std::string& need : found->needs) add_phrase(needs, need);
      add_phrase(lacking[needs], row.front(), "; ");
    }
    if (row.size() == 4) table.rows.push_back(row);
  }
  for (const auto& [needs, measures] : lacking)
    table.notes.push_back("Not measurable without " + needs + ": " + measures + ".");
  return table;
}

SheetTable face_table(const SheetCase& s) {
  SheetTable table{"The face, as read in the clinic", {"what", "recorded", "planned"}, {0.44, 0.26, 0.3}, {}, {}, true};
  if (s.whole->face.empty()) return table;
  for (const FaceRow& row : face_rows(s.whole->face, face_move(s.cut, s.planned))) {
    const std::string planned = planned_words(row);
    if (row.recorded)
      table.rows.push_back({capital(face_name(row)) + (row.id == "midline_upper_mm" ? ", by the clinic" : ""),
                            face_words(row.id, *row.recorded), planned.empty() ? "-" : planned});
  }
  if (!table.rows.empty()) table.notes.push_back("Soft tissue by averages with a wide spread.");
  return table;
}

std::string stability_move(const SheetCase& s, const StabilityNote& note) {
  const auto ends = [&](const std::string& tail) {
    return note.move.size() > tail.size() && note.move.compare(note.move.size() - tail.size(), tail.size(), tail) == 0;
  };
  const PointMap points = points_at(s.cut, {});
  const bool molars = points.count("16.mesiobuccal_cusp") != 0 && points.count("26.mesiobuccal_cusp") != 0;
  const bool height = note.move.rfind("upper jaw", 0) == 0 && (ends(" up") || ends(" down"));
  return note.move + (height && molars ? " (mean of incisors and molars)" : "");
}

SheetTable stability_table(const SheetCase& s) {
  SheetTable table{"How moves like these are reported to hold", {}, {0.5, 0.5}, {}, {}, true};
  for (const StabilityNote& note : stability_notes(extent_of(s.cut, s.planned))) {
    std::string words = note.rank;
    if (note.beyond_usual) words += " - BEYOND: " + note.usual;
    table.rows.push_back({capital(stability_move(s, note)), words});
  }
  if (table.rows.empty()) {
    table.notes.push_back("No move of a millimetre or more.");
  } else {
    table.notes.push_back("Proffit, Turvey and Phillips 1996, 2007 (Head Face Med 3:21); ranks partly from memory.");
  }
  return table;
}

}  // namespace intercusp
