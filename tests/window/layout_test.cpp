// What is on the screen, stop by stop and at the three sizes people use: no text is cut off, nothing is written over
// anything else, and with a finger every control is large enough.
#include <doctest/doctest.h>

#include <algorithm>
#include <set>

#include "app/widgets/widgets.h"
#include "class_example.h"
#include "shared_stage.h"

namespace intercusp::window {

namespace {

const char* const kStopNames[] = {"records",   "bite",   "target", "cuts", "movement",
                                  "clearance", "splint", "sheet",  "agree"};

std::string where(const ui::TextMark& m) {
  return "\"" + m.words + "\" in " + m.owner + " at " + std::to_string(static_cast<int>(m.rect.x)) + "," +
         std::to_string(static_cast<int>(m.rect.y));
}

// Texts outside what a panel shows at the moment, that scrolling brings in, do not count.
bool scrolled_away(const ui::TextMark& m) {
  return m.scrolls && (m.rect.y < m.clip.y || m.rect.y + m.rect.h > m.clip.y + m.clip.h);
}

bool cut_off(const ui::TextMark& m, float slack) {
  return m.rect.x < m.clip.x - slack || m.rect.x + m.rect.w > m.clip.x + m.clip.w + slack ||
         m.rect.y < m.clip.y - 2 * slack || m.rect.y + m.rect.h > m.clip.y + m.clip.h + 2 * slack;
}

// Letters stand within their line with some air above and below, so lines may touch.
bool cross(const Rect& a, const Rect& b, float slack) {
  return a.x + slack < b.x + b.w && b.x + slack < a.x + a.w && a.y + 3 * slack < b.y + b.h &&
         b.y + 3 * slack < a.y + a.h;
}

std::vector<std::string> faults(float scale) {
  std::vector<std::string> out;
  const auto& log = ui::text_log();
  for (std::size_t i = 0; i < log.size(); ++i) {
    if (log[i].words.empty() || scrolled_away(log[i])) continue;
    if (cut_off(log[i], scale)) out.push_back("cut off: " + where(log[i]));
    for (std::size_t k = i + 1; k < log.size(); ++k)
      if (log[k].owner == log[i].owner && !scrolled_away(log[k]) && cross(log[i].rect, log[k].rect, scale))
        out.push_back("over one another: " + where(log[i]) + " and " + where(log[k]));
  }
  return out;
}

std::string listed_all(const std::vector<std::string>& list) {
  std::string words;
  for (const std::string& line : list) words += "\n  " + line;
  return words;
}

void check_screen(Stage& stage, const std::string& name) {
  stage.frames(3);
  CHECK(ui::text_log().size() > 10);
  const auto found = faults(stage.window().scale);
  CHECK_MESSAGE(found.empty(), name << listed_all(found));
}

void check_targets(Stage& stage, const std::string& name) {
  stage.frames(2);
  std::vector<std::string> small;
  // Places that are looked at, not pressed.
  const std::set<std::string> looked_at = {
      "bite_card",  "view_tools",    "legend",          "explain",       "top",       "foot",         "step",
      "reading",    "start",         "guide",           "share_box",     "practice",  "practice_bar", "people_box",
      "join_box",   "practice_foot", "practice_hidden", "practice.plot", "class_bar", "class_foot",   "class_all",
      "class_left", "class_right",   "class.table"};
  for (const auto& [id, r] : ui::widget_map()) {
    const float scale = stage.window().scale;
    if (looked_at.count(id) || id.rfind("beyond.", 0) == 0 || id.rfind("class.plot.", 0) == 0 ||
        std::min(r.w, r.h) / scale >= 43.5f)
      continue;
    small.push_back(id + " is " + std::to_string(static_cast<int>(r.w / scale)) + " x " +
                    std::to_string(static_cast<int>(r.h / scale)));
  }
  CHECK_MESSAGE(small.empty(), name << listed_all(small));
}

void walk(Stage& stage, const std::string& name, bool finger) {
  for (const char* stop : kStopNames) {
    stage.act("stop", {{"name", stop}});
    check_screen(stage, name + ", " + stop);
    if (finger) check_targets(stage, name + ", " + stop);
  }
}

void plan(Stage& stage) {
  stage.act("set_movement",
            {{"segment", "upper"}, {"forward", 5.5}, {"up", -2.5}, {"left", -1.5}, {"pitch", 2.0}, {"roll", 1.5}});
}

}  // namespace

TEST_CASE("screen: nothing is cut off or written over at 1366 x 768") {
  Stage stage({1366, 768});
  walk(stage, "laptop at the start", false);
  plan(stage);
  walk(stage, "laptop with a plan", false);
}

TEST_CASE("screen: nothing is cut off or written over at 1920 x 1080 and device scale 2") {
  Stage stage({3840, 2160, 2, true, false});
  plan(stage);
  walk(stage, "large", false);
}

TEST_CASE("screen: nothing is cut off, written over or too small for a finger on a tablet held upright") {
  Stage stage({820, 1180, 1, false, true});
  walk(stage, "tablet at the start", true);
  plan(stage);
  walk(stage, "tablet with a plan", true);
}

TEST_CASE("screen: practice fits a laptop and a tablet, before and after the answer") {
  const std::pair<const char*, const char*> asked[] = {
      {"midline", "3 left"}, {"midline", "1 right"}, {"crossbite", "none"}, {"correction", "1"}};
  for (const bool finger : {false, true}) {
    Stage stage(finger ? StageSize{820, 1180, 1, false, true} : StageSize{1366, 768});
    for (const auto& [kind, answer] : asked) {
      const std::string name = std::string(finger ? "tablet, " : "laptop, ") + kind;
      stage.act("practice", {{"kinds", {kind}}, {"seed", 5}});
      stage.frames(10);
      check_screen(stage, name);
      if (finger) check_targets(stage, name);
      stage.act("practice_answer", {{"text", answer}});
      check_screen(stage, name + ", marked");
    }
  }
}

TEST_CASE("screen: the teacher's page and what a student hands in fit every screen, with a finger too") {
  for (const StageSize& size : {StageSize{1366, 768}, StageSize{3840, 2160, 2, true, false},
                                StageSize{820, 1180, 1, false, true}, StageSize{1180, 820, 1, false, true}}) {
    Stage stage(size);
    const std::string name = std::to_string(size.width) + " wide, ";
    const auto fits = [&](const std::string& what) {
      check_screen(stage, name + what);
      if (size.touch) check_targets(stage, name + what);
    };
    stage.act("class_page");
    fits("putting a set together");
    stage.act("class_draft", {{"inbox", true}});
    fits("with an inbox");
    stage.act("class_make", {{"inbox", false}});
    fits("the set made");
    stage.act("class_page", {{"page", "results"}});
    fits("no results yet");
    show_class(stage, 12);
    fits("by question");
    stage.act("class_show", {{"by_student", true}});
    fits("by student");
    show_hand_in(stage);
    fits("handing in");
  }
}

TEST_CASE("screen: what opens over the view fits") {
  for (const StageSize& size : {StageSize{1366, 768}, StageSize{820, 1180, 1, true, true}}) {
    Stage stage(size);
    for (const char* box : {"home", "share_box", "keys", "rename_box", "show_box", "history"}) {
      stage.act(box);
      check_screen(stage, box);
      stage.act("back");
    }
    for (const double forward : {2.0, 3.0}) {
      stage.act("new_plan");
      stage.act("set_movement", {{"segment", "upper"}, {"forward", forward}});
    }
    stage.act("plans_beside", {{"second", stage.state()["case"]["plans"][0]}});
    check_screen(stage, "two plans");
    stage.act("back");
    stage.act("stop", {{"name", "bite"}});
    for (const char* id : {"overjet", "molar_right", "tooth_size_overall"}) {
      stage.act("explain", {{"id", id}});
      check_screen(stage, std::string("explained ") + id);
    }
    stage.act("explain");
    stage.act("contact_map", {{"on", true}});
    for (const char* layout : {"two", "four", "record"}) {
      stage.act("layout", {{"name", layout}});
      check_screen(stage, std::string("layout ") + layout);
    }
  }
}

TEST_CASE("screen: sections, maps, previews and the first minute leave each other room") {
  for (const StageSize& size : {StageSize{1366, 768}, StageSize{820, 1180, 1, false, true}}) {
    Stage stage(size, {});
    check_screen(stage, "the try offered");
    for (int step = 1; step <= 4; ++step) {
      stage.act("guide", {{"step", step}});
      check_screen(stage, "the try, step " + std::to_string(step));
    }
    stage.act("guide", {{"on", false}});
    for (const char* axis : {"sagittal", "frontal", "level"}) {
      stage.act("section", {{"on", true}, {"axis", axis}});
      check_screen(stage, std::string("section ") + axis);
    }
    stage.act("contact_map", {{"on", true}});
    check_screen(stage, "section and contact map");
    stage.act("contact_map", {{"mode", "overlap"}, {"on", true}});
    stage.act("section", {{"on", false}});
    check_screen(stage, "overlap only");
    plan(stage);
    stage.act("tooth_numbers", {{"on", true}});
    for (const char* view : {"front", "right", "left", "upper", "lower"}) {
      stage.act("view", {{"name", view}});
      check_screen(stage, std::string("tooth numbers, ") + view);
    }
    stage.act("clearance", {{"index", 0}});
    stage.act("removal", {{"jaw", "lower"}});
    check_screen(stage, "removal preview");
  }
}

TEST_CASE("screen: a shared case fits, with its links, people, remarks and agreements") {
  for (const bool finger : {false, true}) {
    const std::string name = finger ? "tablet, " : "laptop, ";
    Stage stage(finger ? StageSize{820, 1180, 1, false, true} : StageSize{1366, 768});
    Partner partner(stage);
    share_and_talk(stage, partner);
    check_screen(stage, name + "agreed");
    if (finger) check_targets(stage, name + "agreed");
    partner.move_upper(6.5);
    check_screen(stage, name + "outdated");
    for (const char* box : {"share_box", "people"}) {
      stage.act(box);
      check_screen(stage, name + box);
      if (finger) check_targets(stage, name + box);
      stage.act("back");
    }
    stage.act("pin_remark", {{"measure", "overjet"}});
    check_screen(stage, name + "a remark being written");
    stage.act("review_leave");
    (void)stage.app().open_fragment("review=1.anything");
    check_screen(stage, name + "a link opened");
    if (finger) check_targets(stage, name + "a link opened");
  }
}

TEST_CASE("screen: a phone held sideways shows the model beside what is said of it") {
  Stage stage({1688, 780, 2, false, true});
  Partner partner(stage);
  share_and_talk(stage, partner);
  const auto model_is_seen = [&](const char* when) {
    const auto view = stage.state()["views"][0]["rect"];
    INFO(when);
    CHECK(view[2].get<double>() >= 440);
    CHECK(view[3].get<double>() >= 280);
  };
  check_screen(stage, "phone, agreed");
  check_targets(stage, "phone, agreed");
  model_is_seen("agreed");
  CHECK(stage.state()["widgets"].contains("agree.movement"));
  stage.act("fold", {{"panel", "left"}, {"open", false}});
  check_screen(stage, "phone, folded");
  model_is_seen("folded");
  CHECK(stage.state()["widgets"].contains("bite_card"));
  CHECK(stage.state()["widgets"].contains("tool.show"));
  for (const char* box : {"share_box", "people", "history", "keys"}) {
    stage.act(box);
    check_screen(stage, std::string("phone, ") + box);
    stage.act("back");
  }
  for (const char* stop : {"bite", "movement", "clearance"}) {
    stage.act("stop", {{"name", stop}});
    check_screen(stage, std::string("phone, ") + stop);
    model_is_seen(stop);
  }
  stage.act("review_leave");
  (void)stage.app().open_fragment("review=1.anything");
  check_screen(stage, "phone, a link opened");
  CHECK(stage.state()["widgets"].contains("join.open"));
}

TEST_CASE("screen: cuts, pieces and positions to choose from stand clear of each other, also for a finger") {
  for (const bool finger : {false, true}) {
    const std::string name = finger ? "tablet in pieces" : "laptop in pieces";
    Stage stage(finger ? StageSize{820, 1180, 1, false, true} : StageSize{1366, 768});
    stage.act("open_sample", {{"name", "class2_div1"}, {"bone", true}, {"triangles", 20000}});
    stage.act("stop", {{"name", "cuts"}});
    for (const char* kind : {"split_right", "split_left", "chin", "lefort1", "pieces"})
      stage.act("cut", {{"kind", kind}});
    for (const char* kind : {"pieces", "split_right", "lefort1"}) {
      stage.act("choose_cut", {{"kind", kind}});
      check_screen(stage, name + ", " + kind);
    }
    stage.act("take_cut_away", {{"kind", "pieces"}});  // no room between the central roots of this sample
    stage.act("set_movement", {{"segment", "maxilla"}, {"forward", 5.0}, {"up", 3.0}});
    stage.act("set_movement", {{"segment", "ramus_right"}, {"roll", 2.0}});
    walk(stage, name, finger);
  }
  Stage stage({1366, 768});
  stage.act("stop", {{"name", "target"}});
  stage.act("seat_bite");
  stage.act("take_seat", {{"index", 0}});
  check_screen(stage, "positions");
}

TEST_CASE("screen: the splint with all of its settings, made, thin, refused and outdated") {
  for (const bool finger : {false, true}) {
    const std::string name = finger ? "tablet splint" : "laptop splint";
    Stage stage(finger ? StageSize{820, 1180, 1, false, true} : StageSize{1366, 768});
    const auto look = [&](const char* what) {
      check_screen(stage, name + ", " + what);
      if (finger) check_targets(stage, name + ", " + what);
    };
    stage.act("open_sample", {{"name", "class3"}, {"triangles", 20000}});
    stage.act("set_movement", {{"segment", "upper"}, {"forward", 4.0}, {"up", 1.0}});
    stage.act("stop", {{"name", "splint"}});
    stage.frames(2);
    stage.click("splint.more");
    look("all settings");
    (void)stage.app().act("splint", {{"overlap_mm", 0.0}, {"quick", true}}).ok();
    look("refused");
    stage.act("splint", {{"open_for_thickness", true}, {"quick", true}});
    look("quick");
    if (!finger) CHECK(ui::widget_map().count("splint.save.stl") == 1);
    const auto thin = stage.act("splint", {{"open_for_thickness", false}, {"opening_mm", 1.5}, {"quick", true}});
    REQUIRE_FALSE(thin["thin"].empty());
    stage.act("look_at_splint", {{"thin", 0}});
    stage.frames(60);
    look("thin");
    stage.act("set_movement", {{"segment", "upper"}, {"forward", 5.0}});
    stage.act("set_splint", {{"stage", "intermediate"}});
    look("outdated");
  }
}

TEST_CASE("screen: a case without landmarks says what to place") {
  Stage stage({1366, 768});
  for (const char* name : {"46.buccal_groove", "11.incisal_edge_mid", "43.cusp_tip", "13.cusp_tip"})
    stage.act("remove_landmark", {{"name", name}});
  walk(stage, "with missing landmarks", false);
}

}  // namespace intercusp::window
