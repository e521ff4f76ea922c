// A set for a class as it is put together, and the link that comes of it.
#include <algorithm>
#include <vector>

#include "app/panels/class_panel.h"
#include "app/theme.h"
#include "app/widgets/qr_code.h"
#include "app/widgets/widgets.h"
#include "app/work/class_work.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

struct NamedChoice {
  int value;
  const char* words;
};

/// A row of buttons of which one is chosen; `key` is the argument of class_draft.
template <std::size_t N>
void draft_choices(Workspace& w, const char* key, int chosen, const NamedChoice (&choices)[N]) {
  for (std::size_t i = 0; i < N; ++i) {
    ui::ButtonLook look;
    look.chosen = chosen == choices[i].value;
    look.width = std::max(ui::text_width(fonts().body, choices[i].words) + px(24), touch_input() ? target_height() : 0);
    if (i > 0) stay_in_line_for(look.width);
    const std::string id = std::string("class.") + key + "." + std::to_string(choices[i].value);
    if (ui::button(id.c_str(), choices[i].words, look)) run(w, "class_draft", {{key, choices[i].value}});
  }
}

/// How many and the seed, beside each other where there is room. Of a graded set the server draws the seeds.
void number_fields(Workspace& w) {
  SetDraft& d = w.class_work->draft;
  const float field = px(120), half = px(240);
  const char* const many = "How many (1 to 100)";
  if (d.graded) {
    class_label(many);
    ui::text_field("class.count", "10", d.count, field);
    return;
  }
  const char* const seed = "Seed: the same number asks the same again";
  const bool beside = ImGui::GetContentRegionAvail().x > half + ui::text_width(fonts().small_strong, seed);
  const float left = ImGui::GetCursorPosX();
  if (beside) {
    class_label(many);
    ImGui::SameLine(left + half);
    ui::paragraph(fonts().small_strong, theme().text, seed);
    ui::text_field("class.count", "10", d.count, field);
    ImGui::SameLine(left + half);
  } else {
    class_label(many);
    ui::text_field("class.count", "10", d.count, field);
    class_label(seed);
  }
  ui::text_field("class.seed", "a whole number", d.seed, field);
  ImGui::SameLine(0, px(8));
  if (ui::button("class.fresh_seed", "Another")) run(w, "class_draft", {{"fresh_seed", true}});
}

/// Left edges of so many columns of the kinds, one after the other; empty where they have no room.
std::vector<float> kind_columns(int columns, float room) {
  const auto& kinds = question_kinds();
  const auto rows = (kinds.size() + static_cast<std::size_t>(columns) - 1) / static_cast<std::size_t>(columns);
  std::vector<float> widths(static_cast<std::size_t>(columns), 0), edges;
  for (std::size_t i = 0; i < kinds.size(); ++i)
    widths[i / rows] = std::max(widths[i / rows], ui::text_width(fonts().body, kinds[i].skill) + px(46));
  float sum = 0;
  for (const float width : widths) sum += width;
  const float spare = (room - sum) / static_cast<float>(columns);
  if (spare < 0 && columns > 1) return {};
  float at = 0;
  for (const float width : widths) {
    edges.push_back(at);
    at += width + std::max(0.0f, spare);
  }
  return edges;
}

void kind_ticks(Workspace& w) {
  const SetDraft& d = w.class_work->draft;
  class_label("Kinds of questions, asked in turn");
  std::vector<float> edges;
  for (int columns = 3; edges.empty(); --columns) edges = kind_columns(columns, ImGui::GetContentRegionAvail().x);
  const auto& kinds = question_kinds();
  const std::size_t rows = (kinds.size() + edges.size() - 1) / edges.size();
  // Column by column, as they are read and as Tab goes.
  const ImVec2 top = ImGui::GetCursorPos();
  float below = top.y;
  for (std::size_t i = 0; i < kinds.size(); ++i) {
    const float x = top.x + edges[i / rows];
    if (i % rows == 0) ImGui::SetCursorPosY(top.y);
    ImGui::SetCursorPosX(x);
    bool on = d.kinds.count(kinds[i].kind) > 0;
    if (ui::toggle((std::string("class.kind.") + kinds[i].id).c_str(), kinds[i].skill, on))
      run(w, "class_draft", {{"kind", kinds[i].id}, {"on", on}});
    below = std::max(below, ImGui::GetCursorPosY());
  }
  ImGui::SetCursorPosY(below);
  nlohmann::json all = nlohmann::json::array();
  for (const KindInfo& info : kinds) all.push_back(info.id);
  if (ui::link("class.kinds.all", "All of them")) run(w, "class_draft", {{"kinds", all}});
  ImGui::SameLine(0, px(16));
  if (ui::link("class.kinds.none", "None")) run(w, "class_draft", {{"kinds", nlohmann::json::array()}});
}

void tool_choices(Workspace& w) {
  const PracticeTools tools = w.class_work->draft.tools;
  class_label("What students may use");
  constexpr std::pair<PracticeTools, const char*> kTools[] = {{PracticeTools::views, "The five views only"},
                                                              {PracticeTools::model, "The turning model"},
                                                              {PracticeTools::probe, "Measuring tools too"}};
  for (const auto& [which, words] : kTools) {
    ui::ButtonLook look;
    look.chosen = tools == which;
    look.width = ui::text_width(fonts().body, words) + px(24);
    if (which != PracticeTools::views) stay_in_line_for(look.width);
    if (ui::button((std::string("class.tools.") + tools_id(which)).c_str(), words, look))
      run(w, "class_draft", {{"tools", tools_id(which)}});
  }
}

void graded_choice(Workspace& w) {
  SetDraft& d = w.class_work->draft;
  class_label("What it is for");
  bool on = d.graded;
  if (ui::toggle("class.graded", "Graded: the server keeps how the questions are made", on))
    run(w, "class_draft", {{"graded", on}});
  ui::soft_text(d.graded
                    ? "Students get jaws and questions alone, and no marks: you mark the answers here, with your set "
                      "code. Keep that code to yourself."
                    : "For practice: each answer is marked at once, and whoever knows the program well can work "
                      "the answers out of the link.");
}

void inbox_choice(Workspace& w) {
  SetDraft& d = w.class_work->draft;
  class_label("How the results come back");
  bool on = d.inbox;
  if (ui::toggle("class.inbox", "To my inbox on the server", on)) run(w, "class_draft", {{"inbox", on}});
  ui::soft_text(d.inbox ? "Each result is sealed so that only this browser or program opens it: its key stays here and "
                          "goes nowhere else. Students can pass a result on by hand as well."
                        : "Each student gets a result code or a file at the end, and passes it on to you.");
  if (!d.inbox && !d.graded) return;
  if (d.graded) class_label("How long the server gives questions out");
  constexpr NamedChoice kDays[] = {{7, "7 days"}, {30, "30 days"}, {90, "90 days"}};
  draft_choices(w, "days", d.days, kDays);
}

void make_button(Workspace& w) {
  ClassWork& c = *w.class_work;
  const auto set = drafted_set(c.draft);
  ui::gap_above(14);
  ui::ButtonLook look{ui::Weight::primary};
  look.enabled = set.ok() && !c.asking_server;
  if (ui::button("class.make", c.asking_server ? "Asking the server" : "Make the set", look)) run(w, "class_make");
  if (!set) ui::paragraph(fonts().small, theme().overlap_text, set.error().what.c_str());
  if (!c.server_trouble.empty())
    ui::paragraph(
        fonts().small, theme().overlap_text,
        ("The set was not made: " + c.server_trouble + ". Try again, or make one that needs no server.").c_str());
}

void copy_line(Workspace& w, const char* which, const std::string& text) {
  const std::string id = std::string("class.") + which;
  const float button = ui::text_width(fonts().body, "Copy") + px(24), room = ImGui::GetContentRegionAvail().x;
  ui::read_only_line((id + ".text").c_str(), text, room - button - px(8));
  ImGui::SameLine(0, px(8));
  if (ui::button((id + ".copy").c_str(), "Copy")) run(w, "class_copy", {{"which", which}});
}

void link_and_code(Workspace& w) {
  const ClassWork& c = *w.class_work;
  const std::string link = class_link(w);
  ui::heading("The set is ready");
  class_label("Link for the students");
  copy_line(w, "link", link);
  const bool graded = c.student_code != c.made_code;
  class_label(graded ? "Your set code, to mark with: give it to nobody" : "Set code, for the terminal");
  copy_line(w, "code", c.made_code);
  ui::gap_above(10);
  // The link of a graded set is long: its code is fine-grained and has to be larger for a camera.
  if (ui::qr_modules(link).side > 0)
    ui::qr_code(link, std::min(px(graded ? 380 : 260), ImGui::GetContentRegionAvail().x));
  else
    ui::soft_text("The link is too long for a code to be photographed.");
  ui::gap_above(10);
  if (ui::button("class.try", "Try it as a student")) run(w, "practice", {{"set", c.fragment}});
}

}  // namespace

void class_set_form(Workspace& w) {
  SetDraft& d = w.class_work->draft;
  ui::heading("A set for a class");
  class_label("Title, as students see it");
  ui::text_field("class.title", "may be left empty", d.title);
  number_fields(w);
  kind_ticks(w);
  class_label("How hard (1 easiest, 7 hardest)");
  constexpr NamedChoice kHard[] = {{0, "rising"}, {1, "1"}, {2, "2"}, {3, "3"}, {4, "4"}, {5, "5"}, {6, "6"}, {7, "7"}};
  draft_choices(w, "difficulty", d.difficulty, kHard);
  class_label("Time for each question");
  constexpr NamedChoice kTimes[] = {{0, "no limit"}, {30, "30 s"}, {60, "1 min"}, {120, "2 min"}, {300, "5 min"}};
  draft_choices(w, "seconds", d.seconds, kTimes);
  tool_choices(w);
}

void class_made_set(Workspace& w) {
  graded_choice(w);
  inbox_choice(w);
  make_button(w);
  ui::gap_above(16);
  if (!w.class_work->fragment.empty()) {
    link_and_code(w);
  } else {
    ui::soft_text("Its link and a code to photograph will stand here. Students open it without an account.");
  }
}

}  // namespace intercusp
