// What the face says: recorded beside the records, and what the plan makes of it beside the movement.
#include <cmath>

#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/quantity.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "casebook/face_plan.h"

namespace intercusp {

namespace {

constexpr float kNameWidth = 132;

std::string with_degree_sign(std::string words) {
  const std::size_t at = words.find(" deg");
  if (at != std::string::npos) words.replace(at, 4, "\xC2\xB0");
  return words;
}

std::string short_face_name(const std::string& id) {
  static const std::map<std::string, const char*> names = {{"incisor_show_rest_mm", "Incisors, at rest"},
                                                           {"incisor_show_smile_mm", "Incisors, smiling"},
                                                           {"lip_length_mm", "Upper lip, length"},
                                                           {"midline_upper_mm", "Upper midline"},
                                                           {"cant_deg", "Cant"},
                                                           {"head_pitch_deg", "Head, chin"},
                                                           {"head_roll_deg", "Head, tilt"},
                                                           {"slide_forward_mm", "Slide, forward"},
                                                           {"slide_left_mm", "Slide, sideways"},
                                                           {"age_years", "Age"},
                                                           {"upper_lip_forward_mm", "Upper lip, forward"}};
  const auto found = names.find(id);
  return found == names.end() ? id : found->second;
}

void item_row(Workspace& w, const FaceItem& item) {
  const float h = target_height(), all = ImGui::GetContentRegionAvail().x;
  const ImVec2 at = ImGui::GetCursorScreenPos();
  ui::put_text(ImGui::GetWindowDrawList(), fonts().body, at.x, at.y + 0.5f * (h - fonts().body->FontSize), theme().text,
               short_face_name(item.key));
  ImGui::SetCursorScreenPos({at.x + px(kNameWidth), at.y});
  const auto value = w.now().face.number(item.key.c_str());
  ui::QuantityLook look;
  look.words = value ? with_degree_sign(face_words(item.key, *value)) : "not recorded";
  look.value = value.value_or(0);
  look.step = item.key == "age_years" ? 1 : 0.5;
  look.width = all - px(kNameWidth);
  look.range = {{item.least, item.most}};
  look.hint = item.words.c_str();
  const ui::QuantityEdit e = ui::quantity(("face." + item.key).c_str(), look);
  if (e.dragging) w.dragging = true;
  if (e.value) run(w, "face", {{"key", item.key}, {"value", std::clamp(*e.value, item.least, item.most)}});
  if (e.finished) w.document.seal();
}

void sex_choice(Workspace& w) {
  bool first = true;
  for (const char* sex : {"woman", "man", ""}) {
    if (!first) ImGui::SameLine(0, px(4));
    first = false;
    ui::ButtonLook look;
    look.chosen = w.now().face.sex == sex;
    const std::string id = std::string("face.sex.") + (*sex ? sex : "none");
    if (ui::button(id.c_str(), *sex ? capital(sex).c_str() : "Not said", look)) run(w, "face", {{"sex", sex}});
  }
}

}  // namespace

void face_form(Workspace& w) {
  ui::gap_above(16);
  const float right = ImGui::GetCursorPosX() + ImGui::GetContentRegionAvail().x;
  const char* label = w.face_open ? "Fold" : w.now().face.empty() ? "Record" : "Change";
  if (ui::title_line(fonts().strong, "The face", "face.form", label, right)) run(w, "face_form");
  if (!w.face_open) {
    ui::soft_text(w.now().face.empty() ? "Incisor show, lip, midline, cant and slide, read off the patient upright."
                                       : "Recorded. What a plan makes of it stands beside the movement.");
    return;
  }
  ui::soft_text("Read off the patient upright, head held naturally. Drag a number or type it.");
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(px(8), px(2)));
  for (const FaceItem& item : face_items()) item_row(w, item);
  ImGui::PopStyleVar();
  ui::gap_above(4);
  sex_choice(w);
  if (!w.now().face.empty() && ui::link("face.clear", "Take everything out")) run(w, "face", {{"clear", true}});
}

void face_outcome(Workspace& w) {
  if (w.now().face.numbers.empty() || w.held == Moment::rest) return;
  const auto move = face_move(w.shown(), w.readings.planned_poses());
  bool any = false;
  for (const FaceRow& row : face_rows(w.now().face, move)) {
    const std::string planned = with_degree_sign(planned_words(row));
    if (planned.empty()) continue;
    if (!any) {
      ui::gap_above(8);
      ui::paragraph(fonts().strong, theme().text, "The face, before > planned");
      any = true;
    }
    const ImVec2 at = ImGui::GetCursorScreenPos();
    const float width = ImGui::GetContentRegionAvail().x;
    ImDrawList* list = ImGui::GetWindowDrawList();
    const std::string before = row.recorded ? amount(std::abs(*row.recorded), 1) + " > " : "";
    ui::put_text(list, fonts().small, at.x, at.y, theme().text, short_face_name(row.id));
    ui::put_text(list, fonts().small, at.x + width, at.y, theme().text, before + planned, 1);
    ImGui::Dummy({width, fonts().small->FontSize + px(4)});
    if (ImGui::IsItemHovered()) {
      std::string hint = row.words;
      for (const std::string& more : {row.usual.empty() ? "" : "usual: " + row.usual, row.ratio, row.remark})
        if (!more.empty()) hint += ". " + more;
      ui::hint_tip((hint + ".").c_str());
    }
  }
  if (any) ui::soft_text("Soft tissue follows by averages with a wide spread.");
}

}  // namespace intercusp
