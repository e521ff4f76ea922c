#include "app/panels/plan_words.h"

#include "app/panels/number_words.h"
#include "app/scene/note_quantities.h"
#include "surgery/movement_note.h"

namespace intercusp {

std::vector<std::string> plan_words(const Workspace& w) {
  std::vector<std::string> lines;
  const Plan* plan = w.current_plan();
  if (!plan || w.show_start) return lines;
  for (const char* segment : {"upper", "lower"}) {
    const auto pose = w.readings.now().poses.find(segment);
    if (pose == w.readings.now().poses.end() || pose->second.isApprox(Pose::Identity(), 1e-9)) continue;
    const Jaw jaw = segment == std::string("lower") ? Jaw::lower : Jaw::upper;
    lines.push_back(
        write_movement_note(segment_words(segment), note_points(w.readings.start().points, jaw), pose->second));
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
