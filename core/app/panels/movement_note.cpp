// The movement note: the sentence a surgeon would dictate, each quantity of which is dragged, typed or locked in place.
#include <cmath>

#include "app/panels/panels.h"
#include "app/scene/note_quantities.h"
#include "app/theme.h"
#include "app/widgets/quantity.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

// Runs words and quantities on in lines like text.
class Flow {
 public:
  Flow() : left_(ImGui::GetCursorPosX()), right_(left_ + ImGui::GetContentRegionAvail().x) {}
  void place(float width) {
    if (first_) {
      first_ = false;
    } else if (next_ + width > right_) {
      next_ = left_;
    } else {
      ImGui::SameLine();
      ImGui::SetCursorPosX(next_);
    }
    next_ = std::max(next_, left_) + width + px(4);
  }
  void words(const char* text, ImFont* font, ImU32 colour) {
    const float width = ui::text_width(font, text), h = target_height();
    place(width);
    const ImVec2 at = ImGui::GetCursorScreenPos();
    ImGui::Dummy({width, h});
    ui::put_text(ImGui::GetWindowDrawList(), font, at.x, at.y + 0.5f * (h - font->FontSize), colour, text);
  }

 private:
  float left_, right_, next_ = 0;
  bool first_ = true;
};

// Said always: the heights and the forward move. The rest appears when it is not zero or was asked for.
bool said(const Workspace& w, const NoteQuantity& q, bool molars) {
  if (!q.known) return false;
  const auto asked = w.asked_quantities.find(q.id);
  if (asked != w.asked_quantities.end()) return true;
  if ((q.id == "pitch" || q.id == "roll") && molars) return false;
  if (q.id == "forward" || q.id == "up_incisors") return true;
  return std::abs(q.value) >= 0.05;
}

void edit(Workspace& w, const NoteQuantity& q, Flow& flow) {
  ui::QuantityLook look;
  look.words = (q.id == "midline" ? "midline " : "") + quantity_words(q);
  look.value = q.value;
  const auto lock = w.locked.find(q.id);
  look.locked = lock != w.locked.end() && lock->second;
  look.hint = "Drag sideways, or click and type. Right click locks it while the rest is solved.";
  flow.place(ui::text_width(fonts().body, look.words) + px(16));
  const std::string id = "note." + q.id;
  const ui::QuantityEdit e = ui::quantity(id.c_str(), look);
  if (e.dragging) w.dragging = true;
  if (e.lock_turned) run(w, "lock", {{"id", q.id}});
  if (e.value) run(w, "set_quantity", {{"id", q.id}, {"value", *e.value}, {"merge", "note." + q.id}});
  if (e.finished) w.document.seal();
}

// What the plan does, whichever of its positions is looked at.
std::vector<NoteQuantity> planned_quantities(const Workspace& w) {
  const auto at = [&](const PointMap& points, const SegmentPoses& poses) {
    const auto pose = poses.find(w.segment);
    return note_quantities(w.readings.start().points, points, pose == poses.end() ? Pose::Identity() : pose->second,
                           w.segment);
  };
  const Reading& now = w.readings.now();
  if (w.moment() == Moment::planned) return at(now.points, now.poses);
  const auto planned = segment_poses(w.planned(), w.current_plan(), Moment::planned);
  return planned ? at(points_at(w.planned(), planned.value()), planned.value()) : at(now.points, now.poses);
}

const char* short_name(const std::string& id) {
  if (id == "up_molar_right") return "+ right molar";
  if (id == "up_molar_left") return "+ left molar";
  if (id == "midline") return "+ midline";
  if (id == "pitch") return "+ pitch";
  if (id == "roll") return "+ roll";
  return "+ yaw";
}

}  // namespace

void movement_note(Workspace& w) {
  const auto quantities = planned_quantities(w);
  const bool molars = quantities[2].known && quantities[3].known;
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(px(4), px(3)));
  Flow flow;
  flow.words((segment_words(w.segment) + ":").c_str(), fonts().strong, theme().text);
  for (const NoteQuantity& q : quantities)
    if (said(w, q, molars)) edit(w, q, flow);
  ui::gap_above(2);
  Flow more;
  for (const NoteQuantity& q : quantities) {
    if (said(w, q, molars) || !q.known) continue;
    ui::ButtonLook look;
    look.weight = ui::Weight::quiet;
    const char* label = short_name(q.id);
    look.width = ui::text_width(fonts().body, label) + px(10);
    more.place(look.width);
    if (ui::button(("note.add." + q.id).c_str(), label, look)) w.asked_quantities.insert(q.id);
  }
  ImGui::PopStyleVar();
}

}  // namespace intercusp
