#include "app/panels/plan_words.h"

#include <algorithm>

#include "app/panels/cut_words.h"
#include "app/panels/number_words.h"
#include "app/scene/note_quantities.h"
#include "surgery/movement_note.h"

namespace intercusp {

namespace {

// Pieces that are named on their own stand for the jaw they come from.
bool stands_for_itself(const std::vector<std::string>& segments, const std::string& segment) {
  const auto there = [&](const char* other) {
    return std::find(segments.begin(), segments.end(), other) != segments.end();
  };
  if (segment == "lower") return !there("mandible");
  return segment != "maxilla" || !there("maxilla_left");
}

std::string cut_line_of(const Workspace& w, const Osteotomy& cut) {
  std::string words = cut_words(cut.kind);
  words.replace(0, 4, "Cut: ");  // "the "
  if (cut.kind == CutKind::pieces) return words + ", " + amount(cut.setting("count"), 0) + " pieces.";
  const LaidCut* laid = w.laid_cuts.find(cut.kind);
  if (!laid) return words + ".";
  for (const CutLevel& level : laid->levels)
    words += ", " + (level.side.empty() ? "" : level.side + " ") + signed_amount(level.mm, 1) + " mm " + level.from;
  for (const std::string& lacking : lacking_of(laid->levels)) words += ". " + lacking;
  return words + ".";
}

}  // namespace

std::vector<std::string> plan_words(const Workspace& w) {
  std::vector<std::string> lines;
  const Plan* plan = w.current_plan();
  if (!plan || w.held == Moment::rest) return lines;
  for (const PlanEntry& entry : plan->entries)
    if (entry.kind == PlanEntry::Kind::cut) lines.push_back(cut_line_of(w, entry.cut));
  const Case& c = w.planned();
  const auto poses = segment_poses(c, plan, Moment::planned);
  if (!poses) return lines;
  const auto segments = movable_segments(c);
  for (const std::string& segment : segments) {
    const auto pose = poses.value().find(segment);
    if (pose == poses.value().end() || pose->second.isApprox(Pose::Identity(), 1e-9)) continue;
    if (!stands_for_itself(segments, segment)) continue;
    const Jaw jaw = is_lower_name(segment) ? Jaw::lower : Jaw::upper;
    const auto pivot = pivot_point(c, segment, "", SegmentPoses{});
    if (segment_has_note(segment))
      lines.push_back(
          write_movement_note(segment_words(segment), note_points(w.readings.start().points, jaw), pose->second));
    else
      lines.push_back(segment_words(segment) + ": " +
                      movement_words(movement_of(pose->second, pivot ? pivot.value() : Vec3(Vec3::Zero()))) + ".");
  }
  return lines;
}

std::string sheet_as_text(const Workspace& w) {
  std::string out = "Movement sheet\n\n";
  const auto lines = plan_words(w);
  if (lines.empty()) out += "No jaw has been moved.\n";
  for (const std::string& line : lines) out += line + "\n";
  out += "\n" + numbers_as_text(w);
  return out + "\nA planning and teaching aid, not cleared as a medical device: verify every number before use.\n";
}

}  // namespace intercusp
