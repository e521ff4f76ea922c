// Laying cuts on the bone: which ones, where, and what they come near.
#include <algorithm>
#include <array>
#include <cmath>
#include <set>

#include "app/panels/cut_words.h"
#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/quantity.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

struct KindRow {
  CutKind kind;
  const char* name;
};
constexpr std::array<KindRow, 5> kKinds{{{CutKind::lefort1, "Le Fort I"},
                                         {CutKind::pieces, "Upper jaw in pieces"},
                                         {CutKind::split_right, "Sagittal split, right"},
                                         {CutKind::split_left, "Sagittal split, left"},
                                         {CutKind::chin, "Chin"}}};
constexpr std::size_t kFirstSettings = 3;  // shown before "More"
constexpr std::size_t kFirstPlaces = 4;

bool has_bone(const Workspace& w, bool (*of)(const std::string&)) {
  return std::any_of(w.now().bodies.begin(), w.now().bodies.end(), [&](const Body& b) { return of(b.name); });
}

// Why a kind cannot be laid here; empty when it can.
std::string obstacle(const Workspace& w, CutKind kind) {
  if (!w.now().frame_known) return "landmarks missing";
  const bool upper = has_bone(w, is_upper_bone);
  if (kind == CutKind::lefort1) return upper ? "" : "no upper bone";
  if (kind != CutKind::pieces) return has_bone(w, is_lower_bone) ? "" : "no lower bone";
  return upper && !w.laid_cuts.find(CutKind::lefort1) ? "needs the Le Fort I" : "";
}

struct State {
  std::string words;
  bool attention = false;
};

State state_of(const Workspace& w, CutKind kind) {
  const LaidCut* cut = w.laid_cuts.find(kind);
  if (!cut) {
    const std::string why = obstacle(w, kind);
    return {why.empty() ? "lay it" : why, false};
  }
  if (!cut->trouble.empty()) return {"cannot be made", true};
  const auto near =
      std::count_if(cut->clearances.begin(), cut->clearances.end(), [](const CutClearance& c) { return c.too_near(); });
  if (near == 0 && !lacking_of(cut->levels).empty()) return {"see below", true};
  if (near > 0) return {std::to_string(near) + (near == 1 ? " place near" : " places near"), true};
  if (cut->clearances.empty()) return {"laid", false};
  return {amount(cut->clearances.front().distance_mm, 1) + " mm clear", false};
}

void kind_row(Workspace& w, const KindRow& row) {
  const Theme& t = theme();
  const bool laid = w.laid_cuts.find(row.kind) != nullptr, chosen = laid && w.chosen_cut == row.kind;
  const bool enabled = laid || obstacle(w, row.kind).empty();
  const State state = state_of(w, row.kind);
  const float width = ImGui::GetContentRegionAvail().x;
  const std::string name = cut_kind_name(row.kind);
  const ui::AreaState s = ui::area(("cut." + name).c_str(), {width, target_height()});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  if (enabled && (s.hovered || chosen))
    list->AddRectFilled({from.x - px(6), from.y}, {to.x + px(6), to.y}, chosen ? t.accent_ground : t.hover, px(6));
  const float y = 0.5f * (from.y + to.y - fonts().body->FontSize);
  ui::put_text(list, laid ? fonts().strong : fonts().body, from.x, y, enabled ? t.text : t.soft, row.name);
  ui::put_text(list, fonts().small, to.x, 0.5f * (from.y + to.y - fonts().small->FontSize),
               state.attention ? t.overlap_text
               : laid          ? t.text
                               : t.soft,
               state.words, 1);
  if (s.clicked && enabled) run(w, laid ? "choose_cut" : "cut", {{"kind", name}});
}

std::string label_of(const CutSetting& s) {
  static const std::map<std::string, const char*> names = {{"level_right_mm", "Level, right"},
                                                           {"level_left_mm", "Level, left"},
                                                           {"level_mm", "Level"},
                                                           {"slope_right_deg", "Rise back, right"},
                                                           {"slope_left_deg", "Rise back, left"},
                                                           {"slope_deg", "Rise back"},
                                                           {"step_right_mm", "Step, right"},
                                                           {"step_left_mm", "Step, left"},
                                                           {"behind_mm", "End at the back"},
                                                           {"saw_mm", "Saw"},
                                                           {"depth_share", "Depth in ramus"},
                                                           {"plate_mm", "Under the plate"},
                                                           {"front_mm", "Front end"},
                                                           {"count", "Pieces"},
                                                           {"front_teeth", "Front teeth a side"},
                                                           {"apex_limit_mm", "Limit, roots"},
                                                           {"foramen_limit_mm", "Limit, foramina"},
                                                           {"canal_limit_mm", "Limit, canal"}};
  const auto found = names.find(s.key);
  return found == names.end() ? s.key : found->second;
}

void setting_row(Workspace& w, const Osteotomy& cut, const CutSetting& s) {
  const float h = target_height(), all = ImGui::GetContentRegionAvail().x, name_width = px(128);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const double value = cut.settings.at(s.key);
  ui::put_text(ImGui::GetWindowDrawList(), fonts().body, at.x, at.y + 0.5f * (h - fonts().body->FontSize), theme().text,
               label_of(s));
  ImGui::SetCursorScreenPos({at.x + name_width, at.y});
  const std::string hint = s.words + ". Usual: " + setting_words(s, s.usual) + " (" + s.source + ")";
  ui::QuantityLook look;
  look.words = setting_words(s, value);
  look.value = value;
  look.step = is_length(s) ? w.nudge_mm : s.key == "depth_share" ? 0.05 : is_angle(s) ? 0.5 : 1;
  look.width = all - name_width;
  look.range = {{s.least, s.most}};
  look.hint = hint.c_str();
  const ui::QuantityEdit e = ui::quantity(("cut.set." + s.key).c_str(), look);
  if (e.dragging) w.dragging = true;
  if (e.value) {
    const double kept = std::clamp(*e.value, s.least, s.most);
    run(w, "cut", {{"kind", cut_kind_name(cut.kind)}, {"settings", {{s.key, kept}}}, {"merge", s.key}});
  }
  if (e.finished) w.document.seal();
}

void settings(Workspace& w, const Osteotomy& cut) {
  const auto& all = cut_settings(cut.kind);
  const std::size_t shown = w.all_cut_settings ? all.size() : std::min(kFirstSettings, all.size());
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(px(8), px(2)));
  for (std::size_t i = 0; i < shown; ++i) setting_row(w, cut, all[i]);
  ImGui::PopStyleVar();
  if (all.size() > kFirstSettings &&
      ui::link("cut.more", w.all_cut_settings ? "Only the first settings" : "All settings and limits"))
    w.all_cut_settings = !w.all_cut_settings;
}

void place_row(const CutClearance& c) {
  const Theme& t = theme();
  const bool near = c.too_near();
  const float width = ImGui::GetContentRegionAvail().x, h = fonts().small->FontSize + px(6);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const std::string right = near ? signed_amount(c.distance_mm, 2) + " mm, limit " + amount(c.limit_mm, 2)
                                 : signed_amount(c.distance_mm, 1) + " mm";
  const float taken = ui::text_width(near ? fonts().small_strong : fonts().small, right);
  ui::put_text(list, fonts().small, at.x, at.y, t.text,
               ui::fitted(fonts().small, landmark_words(c.landmark), width - taken - px(8)));
  ui::put_text(list, near ? fonts().small_strong : fonts().small, at.x + width, at.y, near ? t.overlap_text : t.text,
               right, 1);
  ImGui::Dummy({width, h});
}

void near_places(Workspace& w, const LaidCut& cut) {
  if (cut.clearances.empty()) return;
  ui::gap_above(6);
  ui::paragraph(fonts().strong, theme().text, "Nearest to it");
  const std::size_t all = cut.clearances.size();
  std::size_t shown = 0;
  std::set<std::string> teeth;  // of tip and surface of one root the nearer will do at first
  for (const CutClearance& c : cut.clearances) {
    const bool again = c.root && !teeth.insert(c.landmark.substr(0, 2)).second;
    if (!w.all_cut_places && (again || shown == kFirstPlaces)) continue;
    place_row(c);
    ++shown;
  }
  if (all > kFirstPlaces &&
      ui::link("cut.places", w.all_cut_places ? "Only the nearest" : ("All " + std::to_string(all)).c_str()))
    w.all_cut_places = !w.all_cut_places;
}

// Whether the bone is in pieces, and what keeps it whole.
void sawing(Workspace& w) {
  if (!w.pieces.trouble().empty()) {
    ui::paragraph(fonts().body, theme().overlap_text, w.pieces.trouble().c_str());
  } else if (w.pieces.stopped()) {
    ui::soft_text("The sawing was stopped: the bone is still whole.");
    if (ui::button("cut.saw", "Saw now")) run(w, "saw_again");
  } else if (w.pieces.waiting()) {
    ui::soft_text("The bone is being sawn.");
  } else if (w.pieces.in_pieces()) {
    ui::soft_text("Sawn. The pieces move at the next stop.");
  }
}

void chosen_cut(Workspace& w) {
  const LaidCut* found = w.laid_cuts.find(w.chosen_cut);
  if (!found) return;
  const LaidCut cut = *found;  // a command may lay it anew
  ui::gap_above(8);
  settings(w, cut.cut);
  if (!cut.trouble.empty()) ui::paragraph(fonts().body, theme().overlap_text, cut.trouble.c_str());
  for (const std::string& lacking : lacking_of(cut.levels))
    ui::paragraph(fonts().body, theme().overlap_text, (lacking + ".").c_str());
  near_places(w, cut);
  ui::gap_above(6);
  if (ui::button("cut.take_away", "Take this cut away"))
    run(w, "take_cut_away", {{"kind", cut_kind_name(cut.cut.kind)}});
}

}  // namespace

void cuts_step(Workspace& w) {
  const bool bone = has_bone(w, is_upper_bone) || has_bone(w, is_lower_bone);
  ui::soft_text(bone ? "Drag a line on the bone up or down, the Le Fort I by its round end to slope it."
                     : "This case holds no bone: only the upper arch can be parted. Open a bone surface from CT, or a "
                       "sample with jaw bones.");
  ui::gap_above(4);
  for (const KindRow& row : kKinds) kind_row(w, row);
  if (!bone) {
    ui::gap_above(8);
    if (ui::button("cuts.samples", "Samples")) run(w, "home");
  }
  chosen_cut(w);
  ui::gap_above(6);
  sawing(w);
  if (w.pieces.in_pieces() && ui::button("cuts.move", "Move the pieces", {ui::Weight::primary}))
    run(w, "stop", {{"name", "movement"}});
}

}  // namespace intercusp
