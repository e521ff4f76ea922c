// What moves where, in sentences and by points.
#include <algorithm>
#include <cmath>

#include "casebook/sheet_parts.h"
#include "surgery/movement_note.h"

namespace intercusp {

namespace {

constexpr double kWorthATurn = 0.5;  ///< degrees: from there on a sentence says how the jaw turns

bool stands_still(const Pose& pose) {
  return pose.isApprox(Pose::Identity(), 1e-9);
}

struct ShownPoint {
  const char* words;
  std::vector<std::string> names;
  bool of_chin = false;  ///< shown only where the chin is a piece of its own
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
      {"Pog", {"Pog"}},
      {"Gn", {"Gn"}, true},
      {"Me", {"Me"}, true}};
  return kPoints;
}

bool chin_is_cut(const SheetCase& s) {
  return std::any_of(s.cuts.begin(), s.cuts.end(), [](const SheetCut& c) { return c.cut.kind == CutKind::chin; });
}

/// How a pose carries what stood at `point`, in clinical words; turns are about that point.
std::string carried(const Pose& pose, const Vec3& point) {
  return movement_words(movement_of(pose, point));
}

/// "; pitch 1.2 degrees front down, roll 0.6 degrees left side down" where the turn is worth it: the sentence says yaw.
std::string turn_of_jaw(const Pose& pose) {
  const Angles a = angles_of(pose.linear());
  if (std::max({std::abs(a.pitch_deg), std::abs(a.roll_deg), std::abs(a.yaw_deg)}) < kWorthATurn) return {};
  const std::string words = movement_words({0, 0, 0, a.pitch_deg, a.roll_deg, 0});
  return words == "no movement" ? std::string() : ", " + words;
}

std::string jaw_sentence(const SheetCase& s, bool lower, const PointMap& before) {
  const std::string segment = jaw_segment(s, lower), words = sheet_segment_words(segment);
  const Pose pose = pose_of_segment(s.planned, segment);
  const PointMap points = note_points(before, lower ? Jaw::lower : Jaw::upper);
  std::string note = write_movement_note(words, points, pose);
  if (note.empty()) return words + ": " + carried(pose, Vec3::Zero()) + ".";
  const std::size_t turned = note.find("turned ");
  if (turned != std::string::npos) note.replace(turned, 6, "yaw");
  // Without molars the note says pitch and roll itself.
  if (points.count("molar_right") == 0) return note;
  note.pop_back();
  return note + turn_of_jaw(pose) + ".";
}

bool upper_goes_up_or_down(const SheetCase& s, const PointMap& before) {
  const Pose pose = pose_of_segment(s.planned, jaw_segment(s, false));
  for (const auto& [name, at] : note_points(before, Jaw::upper)) {
    if (std::abs((pose * at - at).z()) >= 0.05) return true;
  }
  return false;
}

std::string still_sentence(const SheetCase& s, bool lower, const PointMap& before) {
  const std::string words = sheet_segment_words(jaw_segment(s, lower)) + ": does not move";
  if (!lower || !upper_goes_up_or_down(s, before)) return words + ".";
  return words + "; the planned bite is read with it as scanned, not closed about its hinge in this plan.";
}

std::vector<std::string> piece_sentences(const SheetCase& s) {
  std::vector<std::string> sentences;
  for (const char* segment : {"maxilla_right", "maxilla_left", "maxilla_front"}) {
    const bool own = std::any_of(s.plan->entries.begin(), s.plan->entries.end(), [&](const PlanEntry& e) {
      return e.kind == PlanEntry::Kind::movement && e.segment == segment;
    });
    if (!own) continue;
    const Pose whole = pose_of_segment(s.planned, "maxilla");
    const Pose against = pose_of_segment(s.planned, segment) * whole.inverse();
    const auto pivot = pivot_point(s.cut, segment, "", s.rest);
    sentences.push_back(sheet_segment_words(segment) + ", besides the whole jaw's" +
                        (pivot.ok() ? ", at the incisors: " : ": ") +
                        carried(against, whole * (pivot.ok() ? pivot.value() : Vec3(Vec3::Zero()))) + ".");
  }
  return sentences;
}

std::string chin_sentence(const SheetCase& s, const PointMap& before) {
  const Pose jaw = pose_of_segment(s.planned, "mandible"), chin = pose_of_segment(s.planned, "chin");
  const Pose against = chin * jaw.inverse();
  if (!chin_is_cut(s) || stands_still(against)) return {};
  const std::string name = point_of_chin(s.cut, before);
  const Vec3 point = name.empty() ? Vec3(Vec3::Zero()) : before.at(name);
  std::string words =
      "Chin against the lower jaw" + (name.empty() ? "" : ", at " + name) + ": " + carried(against, jaw * point);
  if (!name.empty() && !stands_still(jaw)) {
    const Movement all = movement_of(chin, point);
    words += "; in all " + movement_words({all.forward_mm, all.up_mm, all.left_mm, 0, 0, 0});
  }
  if (before.count("Pog") != 0 && segment_of_landmark(s.cut, "Pog") != "chin")
    words += "; Pog lies above the cut and goes with the lower jaw";
  return words + ".";
}

struct SplitSide {
  const char *side, *ramus, *plate, *molar, *condyle;
};
constexpr SplitSide kSplitSides[] = {
    {"right", "ramus_right", "split_right", "46.mesiobuccal_cusp", "condyle_centre_right"},
    {"left", "ramus_left", "split_left", "36.mesiobuccal_cusp", "condyle_centre_left"}};

bool goes_with_the_jaw(const SheetCase& s, const SplitSide& at) {
  return pose_of_segment(s.planned, at.ramus).isApprox(pose_of_segment(s.planned, "mandible"), 1e-9);
}

std::string ramus_sentence(const SheetCase& s, const SplitSide& at, const PointMap& before) {
  const Pose ramus = pose_of_segment(s.planned, at.ramus);
  const auto centre = before.find(at.condyle);
  const bool known = centre != before.end();
  return sheet_segment_words(at.ramus) + (known ? ", at its condyle: " : ": ") +
         carried(ramus, known ? centre->second : Vec3(Vec3::Zero())) + ".";
}

/// Where the parts of a split slide on each other: the front end, where a plate would lie; else the first molar.
std::optional<Vec3> place_of_slide(const SheetCase& s, const SplitSide& at, const PointMap& before) {
  for (const PlateGap& gap : s.plates_at_rest) {
    if (gap.site.id == at.plate) return gap.site.anchor;
  }
  return mean_of(before, {at.molar});
}

std::vector<std::string> split_sentences(const SheetCase& s, const PointMap& before) {
  std::vector<std::string> sentences;
  std::string slides, together;
  for (const SplitSide& at : kSplitSides) {
    const bool split = std::any_of(s.cuts.begin(), s.cuts.end(),
                                   [&](const SheetCut& c) { return cut_kind_name(c.cut.kind) == at.plate; });
    const Pose own = pose_of_segment(s.planned, at.ramus);
    if (!split) continue;
    if (goes_with_the_jaw(s, at)) {
      if (!stands_still(own)) add_phrase(together, at.side, " and ");
      continue;
    }
    if (!stands_still(own)) sentences.push_back(ramus_sentence(s, at, before));
    const Pose against = pose_of_segment(s.planned, "mandible") * own.inverse();
    if (const auto place = place_of_slide(s, at, before))
      add_phrase(slides, std::string(at.side) + " " + carried(against, own * *place), "; ");
  }
  if (!slides.empty()) sentences.push_back("At the split, lower jaw against ramus: " + slides + ".");
  if (!together.empty()) {
    const char* go = together.find(" and ") == std::string::npos ? " ramus goes" : " ramus go";
    sentences.push_back(capital(together) + go + " with the lower jaw: nothing slides there.");
  }
  return sentences;
}

/// Which piece a point of the lower jaw's front goes with, where the chin is cut.
std::string piece_words(const SheetCase& s, const ShownPoint& point) {
  const std::string name = point.names.front();
  if (!chin_is_cut(s) || (name != "Pog" && !point.of_chin)) return point.words;
  return std::string(point.words) + (segment_of_landmark(s.cut, name) == "chin" ? " (chin)" : " (above the chin cut)");
}

}  // namespace

std::vector<std::string> sheet_movements(const SheetCase& s) {
  std::vector<std::string> sentences;
  const PointMap before = points_at(s.cut, {});
  const auto append = [&](const std::vector<std::string>& more) {
    sentences.insert(sentences.end(), more.begin(), more.end());
  };
  for (const bool lower : {false, true}) {
    const bool still = stands_still(pose_of_segment(s.planned, jaw_segment(s, lower)));
    sentences.push_back(still ? still_sentence(s, lower, before) : jaw_sentence(s, lower, before));
    append(lower ? split_sentences(s, before) : piece_sentences(s));
  }
  if (const std::string chin = chin_sentence(s, before); !chin.empty()) sentences.push_back(chin);
  return sentences;
}

SheetTable movement_table(const SheetCase& s) {
  SheetTable table{"Movement of points, start (as scanned) to planned (mm)",
                   {"point", "forward / back", "up / down", "to the patient's"},
                   {0.37, 0.21, 0.19, 0.23},
                   {},
                   {}};
  const PointMap before = points_at(s.cut, {}), after = points_at(s.cut, s.planned);
  std::string lacking;
  for (const ShownPoint& point : shown_points()) {
    if (point.of_chin && !chin_is_cut(s)) continue;
    const auto from = mean_of(before, point.names), to = mean_of(after, point.names);
    if (!from || !to) {
      add_phrase(lacking, point.words);
      continue;
    }
    const Vec3 by = *to - *from;
    table.rows.push_back({piece_words(s, point), towards(-by.y(), "forward", "back"), towards(by.z(), "up", "down"),
                          towards(by.x(), "left", "right")});
  }
  if (table.rows.empty()) {
    table.notes.push_back("No landmark is placed, so no point can be followed.");
  } else if (!lacking.empty()) {
    table.notes.push_back("Not placed, so not followed: " + lacking + ".");
  }
  return table;
}

}  // namespace intercusp
