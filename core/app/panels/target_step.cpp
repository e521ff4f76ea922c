// The target occlusion: positions in which the teeth meet best, to choose from, and closing about the hinge axis.
#include <algorithm>
#include <array>
#include <cmath>

#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/seated_jaw.h"

namespace intercusp {

namespace {

std::string contact_words(const Workspace& w) {
  const auto& teeth = w.contacts.teeth();
  if (teeth.empty()) return "No tooth touches.";
  double right = 0, all = 0;
  for (const auto& [tooth, c] : teeth) {
    all += c.area_mm2;
    if ((tooth / 10) % 4 <= 1) right += c.area_mm2;  // quadrants 1 and 4
  }
  std::string words = std::to_string(teeth.size()) + " teeth touch.";
  if (all > 0) {
    const long share = std::lround(100 * right / all);
    words += " Of the contact area " + std::to_string(share) + "% lies on the right, " + std::to_string(100 - share) +
             "% on the left.";
  }
  return words;
}

void relation_line(const Workspace& w, const char* words, const char* right, const char* left) {
  const MeasureRow *r = w.readings.now().row(right), *l = w.readings.now().row(left);
  const auto class_of = [](const MeasureRow* row) {
    return row && row->value && row->value->relation ? "Class " + *row->value->relation : std::string("not measurable");
  };
  ui::paragraph(fonts().body, theme().text,
                (std::string(words) + ": right " + class_of(r) + ", left " + class_of(l) + ".").c_str());
}

struct Choice {
  const char* label;
  int quarters;
};
constexpr std::array<Choice, 3> kRelations{{{"I", 0}, {"II", 4}, {"III", -4}}};

/// Words at the left of a line of choices, which begins where this leaves the cursor.
void choice_label(const char* words) {
  const float h = target_height();
  const ImVec2 at = ImGui::GetCursorScreenPos();
  ui::put_text(ImGui::GetWindowDrawList(), fonts().body, at.x, at.y + 0.5f * (h - fonts().body->FontSize), theme().text,
               words);
  ImGui::SetCursorScreenPos({at.x + px(120), at.y});
}

// "Molars, Class" I II III
void relation_choice(const char* id, const char* words, int& quarters) {
  choice_label(words);
  for (const Choice& c : kRelations) {
    ui::ButtonLook look;
    look.weight = ui::Weight::quiet;
    look.chosen = quarters == c.quarters;
    look.width = std::max(target_height(), px(44));
    if (ui::button((std::string(id) + "." + c.label).c_str(), c.label, look)) quarters = c.quarters;
    ImGui::SameLine(0, px(2));
  }
  ImGui::NewLine();
}

/// Which jaw moves, where there is a choice.
void jaw_choice(Workspace& w) {
  const std::vector<std::string> jaws = seated_jaws(w);
  if (jaws.size() < 2) return;
  if (jaws.size() == 2)
    choice_label("What moves");
  else  // three do not fit beside the words
    ui::paragraph(fonts().body, theme().text, "What moves");
  const std::string now = seated_jaw(w);
  for (const std::string& jaw : jaws) {
    ui::ButtonLook look;
    look.weight = ui::Weight::quiet;
    look.chosen = now == jaw;
    look.width = px(70);
    if (jaw == kSeatedInPieces) look.hint = "The pieces of the upper jaw, each by itself";
    if (ui::button(("seat.jaw." + jaw).c_str(), capital(jaw).c_str(), look)) w.seating.jaw = jaw;
    ImGui::SameLine(0, px(2));
  }
  ImGui::NewLine();
}

std::string reading_words(const SettleSolution& s) {
  const auto value = [&](const char* id) {
    const auto found = s.reading.find(id);
    return found == s.reading.end() ? std::optional<double>() : found->second;
  };
  const auto overjet = value("overjet"), overbite = value("overbite");
  std::string words = "overjet not read";
  if (overjet) words = (*overjet < 0 ? "reverse overjet " : "overjet ") + amount(std::abs(*overjet), 1) + " mm";
  if (overbite) words += (*overbite < 0 ? ", open by " : ", overbite ") + amount(std::abs(*overbite), 1) + " mm";
  return words;
}

// "molars I, quarter III", right before left, in quarter units.
std::string relation_words(const SettleSolution& s) {
  const auto side = [&](const char* id) {
    const auto found = s.quarters.find(id);
    if (found == s.quarters.end()) return std::string("-");
    const int q = std::abs(found->second);
    if (q == 0) return std::string("I");
    return std::to_string(q) + "/4 " + (found->second > 0 ? "II" : "III");
  };
  return "molars " + side("molar_right") + " and " + side("molar_left") + ", canines " + side("canine_right") +
         " and " + side("canine_left");
}

// "canines 0.4 mm wider, molars 2.1 mm wider; at 11 and 21 1.8 mm apart": an upper jaw in pieces against what it was.
std::string piece_words(const SettleSolution& s) {
  std::string words;
  const auto width = [&](const char* of, const std::optional<double>& mm) {
    if (!mm) return;
    words += (words.empty() ? "" : ", ") + std::string(of) + " " + amount(std::abs(*mm), 1) + " mm " +
             (*mm < 0 ? "narrower" : "wider");
  };
  width("canines", s.canine_expansion_mm);
  width("molars", s.molar_expansion_mm);
  const char* join = words.empty() ? "at " : "; at ";
  for (const SeatedCut& cut : s.cuts) {
    words += join + std::to_string(cut.teeth[0]) + " and " + std::to_string(cut.teeth[1]) + " " +
             amount(std::abs(cut.space_mm), 1) + " mm " + (cut.space_mm < 0 ? "overlap" : "space") + ", step " +
             amount(cut.step_mm, 1) + " mm";
    join = "; at ";
  }
  return words;
}

// One position: contacts on each side, the reading, and what speaks against it.
void offer_row(Workspace& w, std::size_t i) {
  const Theme& t = theme();
  const SettleSolution& s = w.seating.offers[i].solution;
  const float width = ImGui::GetContentRegionAvail().x;
  const std::string reading = reading_words(s), relations = relation_words(s);
  const float first = ui::lines_height(fonts().small, reading, width);
  const std::string pieces = piece_words(s);
  const float second = first + ui::lines_height(fonts().small, relations, width);
  const float third = pieces.empty() ? 0 : ui::lines_height(fonts().small, pieces, width);
  const float h = px(20) + second + third + px(6);
  const ui::AreaState area = ui::area(("seat." + std::to_string(i)).c_str(), {width, h});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const bool taken = w.seating.taken == static_cast<int>(i);
  if (area.hovered || taken)
    list->AddRectFilled({from.x - px(6), from.y}, {to.x + px(6), to.y}, taken ? t.accent_ground : t.hover, px(6));
  ui::put_text(list, fonts().strong, from.x, from.y + px(2), t.text,
               std::to_string(i + 1) + (taken ? ", in the plan" : ""));
  ui::put_text(list, fonts().small, to.x, from.y + px(4), s.deepest_mm > 0.1 ? t.overlap_text : t.text,
               std::to_string(s.contacts[0]) + " right, " + std::to_string(s.contacts[1]) + " left touch", 1);
  ui::put_lines(list, fonts().small, from.x, from.y + px(20), width, t.soft, reading);
  ui::put_lines(list, fonts().small, from.x, from.y + px(20) + first, width, t.soft, relations);
  if (third > 0) ui::put_lines(list, fonts().small, from.x, from.y + px(20) + second, width, t.soft, pieces);
  if (area.clicked) run(w, "take_seat", {{"index", i}});
}

void seating(Workspace& w) {
  ui::paragraph(fonts().strong, theme().text, "Where the teeth meet best");
  jaw_choice(w);
  relation_choice("seat.molar", "Molars, Class", w.seating.settings.molar_quarters);
  relation_choice("seat.canine", "Canines, Class", w.seating.settings.canine_quarters);
  if (ui::button("seat.look", w.seating.offers.empty() ? "Look for positions" : "Look again", {ui::Weight::primary}))
    run(w, "seat_bite");
  if (w.seating.offers.empty()) return;
  ui::gap_above(4);
  if (w.seating.revision != w.document.revision() && w.seating.taken < 0)
    ui::soft_text("The plan changed since: look again before taking one.");
  for (std::size_t i = 0; i < w.seating.offers.size(); ++i) offer_row(w, i);
}

// On bone they are placed by hand.
void condyle_buttons(Workspace& w) {
  ui::soft_text("Needs the centres of both condyles:");
  for (const char* side : {"right", "left"}) {
    const std::string name = std::string("condyle_centre_") + side;
    if (w.now().landmarks.count(name)) continue;
    if (ui::button(("place." + name).c_str(), (std::string("Place the ") + side + " one").c_str()))
      run(w, "pick_landmark", {{"name", name}});
  }
}

void closing(Workspace& w) {
  ui::gap_above(10);
  ui::paragraph(fonts().strong, theme().text, "Close about the hinge axis");
  ui::ButtonLook look;
  const bool axis = w.now().landmarks.count("condyle_centre_right") && w.now().landmarks.count("condyle_centre_left");
  look.enabled = axis && bool(can_move(w.planned(), "lower"));
  look.hint = axis ? "Closes until the first teeth touch" : "Needs both condyle centres";
  if (ui::button("close.contact", "To first contact", look)) run(w, "close_jaw", {{"until", "contact"}});
  const auto& bodies = w.now().bodies;
  const bool bone = std::any_of(bodies.begin(), bodies.end(), [](const Body& b) { return !is_dental(b.name); });
  if (!bone) return condyle_fields(w);
  if (!axis) condyle_buttons(w);
}

}  // namespace

void target_step(Workspace& w) {
  ui::paragraph(fonts().strong, theme().text, "How the arches meet now");
  ui::paragraph(fonts().body, theme().text, contact_words(w).c_str());
  relation_line(w, "Molars", "molar_right", "molar_left");
  relation_line(w, "Canines", "canine_right", "canine_left");
  ui::gap_above(10);
  seating(w);
  closing(w);
}

}  // namespace intercusp
