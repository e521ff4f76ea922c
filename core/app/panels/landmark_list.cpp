#include <cctype>
#include <cmath>
#include <map>

#include "anatomy/tooth_proposal.h"
#include "app/panels/panels.h"
#include "app/panels/tooth_drawing.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/stops.h"

namespace intercusp {

namespace {

// Where a placed landmark comes from, for a sentence.
std::string origin_words(const Workspace& w, const Landmark& mark) {
  const std::string confirmed = mark.confirmed ? ", confirmed by hand" : ", not confirmed yet";
  switch (mark.origin) {
    case Landmark::Origin::placed:
      return "Picked by hand";
    case Landmark::Origin::proposed:
      return "Proposed from the surface" + confirmed;
    case Landmark::Origin::file:
      return "From a file of landmarks";
    case Landmark::Origin::unknown:
      break;
  }
  return !w.now().recipe.empty() && !w.now().landmarks_edited ? "From the sample" : "From the case file";
}

constexpr struct {
  const char *id, *words;
  double confidence;
} kHowSure[] = {{"sure", "Sure", 1.0}, {"fair", "Fairly", kSureLandmark}, {"unsure", "Not sure", 0.4}};

// "Picked by hand. How sure: Sure, Fairly, Not sure"
void origin_lines(Workspace& w, const std::string& name) {
  const auto found = w.now().landmarks.find(name);
  if (found == w.now().landmarks.end()) return;
  const Landmark mark = found->second;
  ui::soft_text((origin_words(w, mark) + ". Confidence " + amount(100 * mark.confidence, 0) + "%.").c_str());
  for (const auto& how : kHowSure) {
    ui::ButtonLook look;
    look.weight = ui::Weight::quiet;
    look.chosen = std::abs(mark.confidence - how.confidence) < 0.005;
    if (ui::button((std::string("landmark.") + how.id).c_str(), how.words, look))
      run(w, "landmark_confidence", {{"name", name}, {"confidence", how.confidence}});
    ImGui::SameLine(0, px(2));
  }
  ImGui::NewLine();
}

void row(Workspace& w, const std::string& name, bool placed) {
  const Theme& t = theme();
  const float h = touch_input() ? target_height() : px(24);
  const ui::AreaState s = ui::area(("landmark." + name).c_str(), {ImGui::GetContentRegionAvail().x, h});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const bool chosen = name == w.landmark_wanted;
  if (s.hovered || chosen) list->AddRectFilled(from, to, chosen ? t.accent_ground : t.hover, px(4));
  const ImVec2 c{from.x + px(10), 0.5f * (from.y + to.y)};
  placed ? list->AddCircleFilled(c, px(3.5f), t.usual_text) : list->AddCircle(c, px(4), t.overlap_text, 16, px(1.5f));
  const float y = 0.5f * (from.y + to.y - fonts().small->FontSize);
  ui::put_text(list, fonts().small, from.x + px(22), y, t.text, landmark_words(name));
  const bool proposed = placed && !w.now().landmarks.at(name).confirmed, look = in_doubt(w, name);
  const bool unsure = placed && !look && w.now().landmarks.at(name).confidence < kSureLandmark;
  const char* state = !placed ? "missing" : look ? "look" : unsure ? "not sure" : proposed ? "proposed" : "placed";
  ui::put_text(list, fonts().small, to.x - px(6), y, placed && !look && !unsure ? t.soft : t.overlap_text, state, 1);
  if (s.hovered) ui::hint_tip(landmark_hint(name).c_str());
  if (!s.clicked) return;
  if (placed) {
    w.landmark_wanted = name;
    w.tool = Tool::turn;
  } else {
    run(w, "pick_landmark", {{"name", name}});
  }
}

// "46" for landmarks of a tooth, "" for the others (palate, skull).
std::string tooth_word(const std::string& name) {
  return name.size() > 3 && name[2] == '.' && std::isdigit(static_cast<unsigned char>(name[0])) ? name.substr(0, 2)
                                                                                                : "";
}

// What is placed, a line for each tooth; a click on it lists its landmarks.
void placed_by_tooth(Workspace& w) {
  std::map<std::string, std::vector<std::string>> teeth;
  for (const auto& [name, mark] : w.now().landmarks) teeth[tooth_word(name)].push_back(name);
  const std::string wanted = tooth_word(w.landmark_wanted);
  for (const auto& [tooth, names] : teeth) {
    const bool open = w.open_tooth == tooth || (!w.landmark_wanted.empty() && wanted == tooth);
    const float h = touch_input() ? target_height() : px(25);
    const ui::AreaState s = ui::area(("tooth." + tooth).c_str(), {ImGui::GetContentRegionAvail().x, h});
    const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
    ImDrawList* list = ImGui::GetWindowDrawList();
    if (s.hovered) list->AddRectFilled(from, to, theme().hover, px(4));
    const float y = std::floor(0.5f * (from.y + to.y - fonts().small->FontSize));
    const ImVec2 c{from.x + px(10), 0.5f * (from.y + to.y)};
    const float e = px(3.5f);
    if (open)
      list->AddTriangleFilled({c.x - e, c.y - px(2)}, {c.x + e, c.y - px(2)}, {c.x, c.y + e}, theme().soft);
    else
      list->AddTriangleFilled({c.x - px(2), c.y - e}, {c.x - px(2), c.y + e}, {c.x + e, c.y}, theme().soft);
    ui::put_text(list, fonts().small_strong, from.x + px(22), y, theme().text,
                 tooth.empty() ? "Palate and skull" : tooth);
    ui::put_text(list, fonts().small, to.x - px(6), y, theme().soft, std::to_string(names.size()) + " placed", 1);
    if (s.clicked) w.open_tooth = open ? "none" : tooth;
    if (open)
      for (const std::string& name : std::vector<std::string>(names)) row(w, name, true);
  }
}

}  // namespace

void wanted_landmark(Workspace& w) {
  if (w.landmark_wanted.empty()) return;
  const std::string& name = w.landmark_wanted;
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float size = px(88);
  draw_tooth(ImGui::GetWindowDrawList(), {at.x, at.y, size, size}, name);
  ImGui::Dummy({size, size});
  ImGui::SameLine();
  ImGui::BeginGroup();
  ui::paragraph(fonts().strong, theme().text, landmark_words(name).c_str());
  ui::paragraph(fonts().small, theme().text, landmark_hint(name).c_str());
  ui::soft_text(w.tool == Tool::place_landmark ? touch_input() ? "Tap it on the model." : "Click it on the model."
                                               : "Drag its dot to correct it.");
  ImGui::EndGroup();
  if (w.tool == Tool::turn) origin_lines(w, std::string(name));
  bool snap = w.snap;
  if (ui::toggle("snap", "Snap to cusps and edges", snap)) run(w, "snap", {{"on", snap}});
  ui::ButtonLook quiet;
  quiet.weight = ui::Weight::quiet;
  if (w.tool == Tool::place_landmark && ui::button("landmark.stop", "Stop placing", quiet)) run(w, "pick_landmark");
  if (w.tool == Tool::turn && in_doubt(w, name) && ui::button("landmark.confirm", "It is right"))
    run(w, "confirm_landmark", {{"name", std::string(name)}});
  if (w.tool == Tool::turn && w.now().landmarks.count(name) && ui::button("landmark.remove", "Remove it", quiet))
    run(w, "remove_landmark", {{"name", std::string(name)}});
}

void landmark_list(Workspace& w) {
  const auto missing = missing_landmarks(w);
  ui::paragraph(fonts().strong, theme().text, "Landmarks");
  const std::string count = std::to_string(w.now().landmarks.size()) + " placed, " +
                            (missing.empty() ? "none missing" : std::to_string(missing.size()) + " missing");
  ui::soft_text(count.c_str());
  if (!missing.empty() && w.tool == Tool::turn && ui::button("landmark.start", "Place single points"))
    run(w, "pick_landmark", {{"name", missing.front()}});
  ui::gap_above(8);
  for (const std::string& name : missing) row(w, name, false);
  placed_by_tooth(w);
}

}  // namespace intercusp
