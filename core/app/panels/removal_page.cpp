// The clearance stop's second page: bone after removal with a clearance, and the overlap of teeth taken off one jaw.
#include <algorithm>

#include "app/panels/panels.h"
#include "app/scene/note_quantities.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/quantity.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/feasibility.h"

namespace intercusp {

namespace {

// What is planned and what nobody asked for, of bone or of teeth.
struct OverlapSum {
  double planned = 0, unasked = 0;
  bool known = true, any = false;
};

bool is_bone(const ClearanceRow& r) {
  return !is_dental(r.first) && !is_dental(r.second);
}

OverlapSum sum_of(const Workspace& w, bool bone) {
  OverlapSum sum;
  for (const ClearanceRow& r : w.contacts.clearance()) {
    if (is_bone(r) != bone) continue;
    sum.any = true;
    sum.known = sum.known && r.volume_mm3.has_value();
    (r.planned ? sum.planned : sum.unasked) += r.volume_mm3.value_or(0);
  }
  return sum;
}

std::string sum_words(const OverlapSum& sum) {
  std::string words =
      amount(sum.unasked, 0) + " mm\xC2\xB3 " + (sum.planned > 0 ? "that the plan does not ask for" : "in all");
  if (sum.planned > 0) words += ", " + amount(sum.planned, 0) + " mm\xC2\xB3 of the planned wedge";
  return words + (sum.known ? "." : ", without those where an open surface leaves the volume undefined.");
}

void clearance_row(Workspace& w) {
  const float h = target_height(), all = ImGui::GetContentRegionAvail().x, name_width = px(128);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  ui::put_text(ImGui::GetWindowDrawList(), fonts().body, at.x, at.y + 0.5f * (h - fonts().body->FontSize), theme().text,
               "Clearance");
  ImGui::SetCursorScreenPos({at.x + name_width, at.y});
  ui::QuantityLook look;
  look.value = w.removal.clearance_mm;
  look.words = amount(look.value, 1) + " mm";
  look.step = 0.1;
  look.width = all - name_width;
  look.hint = "Left between the bones where one is cut back. Usual: 0.5 mm (common practice, no source)";
  const ui::QuantityEdit e = ui::quantity("removal.clearance", look);
  if (e.value) w.removal.clearance_mm = std::clamp(*e.value, 0.0, 3.0);
}

std::string bone_words(const Workspace& w, const std::string& name) {
  const Body* body = w.shown().find_body(name);
  if (!body) return capital(body_words(name));
  const std::string segment = segment_of_body(w.shown(), *body);
  return segment == "cranium" ? "Skull above the cut" : segment_words(segment);
}

// What came of it, one bone after the other.
void removed_bones(const Workspace& w, const BonesTrimmed& made) {
  for (const BonesTrimmed::Bone& bone : made.bones) {
    ui::gap_above(6);
    ui::paragraph(fonts().strong, theme().text,
                  (bone_words(w, bone.body) + ": " + amount(bone.removed_mm3, 0) + " mm\xC2\xB3 off").c_str());
    const bool free = bone.left_mm <= 0;
    const std::string left = free ? "Nothing is left in the way. Nearest then: " + amount(bone.gap_mm, 2) + " mm"
                                  : amount(bone.left_mm, 2) + " mm still overlap";
    ui::paragraph(fonts().small_strong, free ? theme().usual_text : theme().overlap_text, left.c_str());
  }
}

// What the removal comes near, each once, at its nearest; rows come deepest first.
std::vector<std::string> endangered(const Workspace& w) {
  std::vector<std::string> said, things;
  for (const bool met : {true, false}) {
    for (const ClearanceRow& r : w.contacts.clearance()) {
      const std::size_t the = r.touches.find("the "), end = r.touches.find(',');
      if (the == std::string::npos || (r.touches.rfind("meets", 0) == 0) != met) continue;
      const std::string thing = r.touches.substr(the, end == std::string::npos ? end : end - the);
      if (std::find(things.begin(), things.end(), thing) != things.end()) continue;
      things.push_back(thing);
      said.push_back(capital(r.touches) + ".");
    }
  }
  return said;
}

void endangered_lines(const Workspace& w) {
  constexpr std::size_t kMost = 4;
  const auto said = endangered(w);
  if (said.empty()) return;
  ui::gap_above(6);
  ui::paragraph(fonts().strong, theme().text, "Taking it off");
  for (std::size_t i = 0; i < std::min(kMost, said.size()); ++i)
    ui::paragraph(fonts().small, theme().overlap_text, said[i].c_str());
  if (said.size() > kMost) ui::soft_text((std::to_string(said.size() - kMost) + " more in the list.").c_str());
}

void bone_part(Workspace& w) {
  const std::uint64_t position = w.readings.version();
  const BonesTrimmed* made = w.removal.at(position);
  ui::soft_text(sum_words(sum_of(w, true)).c_str());
  ui::gap_above(4);
  clearance_row(w);
  ui::gap_above(4);
  const bool current = made && made->clearance_mm == w.removal.clearance_mm;
  if (current && w.removal.shown(position)) {
    if (ui::button("removal.whole", "Show the bone whole")) run(w, "bone_removal", {{"shown", false}});
  } else if (ui::button("removal.make", "Show what is left", {ui::Weight::primary})) {
    run(w, "bone_removal");
  }
  if (!made) {
    ui::soft_text(
        "Cut back is the bone that is usually trimmed there: the skull rather than the upper jaw with its "
        "roots, the tuberosity rather than the pterygoid plates.");
    endangered_lines(w);
    return;
  }
  removed_bones(w, *made);
  if (!current) ui::soft_text(("Made with " + amount(made->clearance_mm, 1) + " mm.").c_str());
  if (w.removal.shown(position))
    ui::soft_text("Crossed lines: cut back. Lines one way: sawn. The other bone is seen through.");
  endangered_lines(w);
}

// What would be left if the overlap of the teeth came off one of the jaws.
void teeth_part(Workspace& w) {
  ui::paragraph(fonts().strong, theme().text, "Preview: the overlap of teeth taken off");
  const struct {
    const char* jaw;
    const char* label;
  } choices[] = {{"upper", "Upper"}, {"lower", "Lower"}, {"", "Neither"}};
  for (const auto& c : choices) {
    ui::ButtonLook look;
    look.chosen = w.trimmed == c.jaw;
    if (ui::button((std::string("removal.") + (c.jaw[0] ? c.jaw : "none")).c_str(), c.label, look))
      run(w, "removal", {{"jaw", c.jaw}});
    ImGui::SameLine(0, px(6));
  }
  ImGui::NewLine();
  std::string words = sum_words(sum_of(w, false));
  if (!w.trimmed.empty()) words += " The other jaw is put away; hatched is the fresh surface.";
  ui::soft_text(words.c_str());
}

}  // namespace

void removal_page(Workspace& w) {
  const bool bone = sum_of(w, true).any, teeth = sum_of(w, false).any;
  if (bone) bone_part(w);
  if (bone && teeth) ui::gap_above(14);
  if (teeth) teeth_part(w);
  if (!bone && !teeth)
    ui::paragraph(fonts().body, theme().text, "Nothing overlaps in this position, so nothing has to come off.");
  ui::gap_above(8);
}

}  // namespace intercusp
