// Pictures of the program for people to look at, made without a screen.
//
//     app_shots OUT_DIR [PART OF A NAME ...]         (no NAME: every picture; a name is SIZE-THEME-SCENE)
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "class_example.h"
#include "graded_example.h"
#include "shared_stage.h"

namespace {

using intercusp::window::Partner;
using intercusp::window::share_and_talk;
using intercusp::window::show_class;
using intercusp::window::show_hand_in;
using intercusp::window::Stage;

struct Size {
  const char* name;
  int width, height;
  float scale;
  bool touch;
};
constexpr Size kSizes[] = {
    {"laptop", 1366, 768, 1, false}, {"large", 3840, 2160, 2, false}, {"tablet", 820, 1180, 1, true}};

struct Scene {
  const char* name;
  std::function<void(Stage&)> script;
};

void oblique(Stage& s) {
  const auto r = s.app().state()["views"][0]["rect"];
  const float x = r[0].get<float>() + 0.5f * r[2].get<float>(), y = r[1].get<float>() + 0.25f * r[3].get<float>();
  s.drag(x, y, x + 70, y + 30, 0);
}

// Takes the handle's forward part in the hand and holds it.
void hold_handle(Stage& s) {
  s.act("view", {{"name", "right"}});
  s.frames(6);
  const auto p = s.act("project", {{"landmark", "11.incisal_edge_mid"}});
  const float x = p["x"].get<float>() + 50, y = p["y"].get<float>();
  s.point(x, y);
  s.press(true);
  for (int i = 1; i <= 10; ++i) s.point(x + 5.0f * static_cast<float>(i), y);
}

void stop(Stage& s, const char* name) {
  s.act("stop", {{"name", name}});
}

void plan(Stage& s) {
  s.act("set_movement", {{"segment", "upper"}, {"forward", 5.0}, {"up", 2.0}, {"left", -1.5}, {"pitch", 2.0}});
}

void overlapping(Stage& s) {
  s.act("set_movement", {{"segment", "upper"}, {"forward", 5.0}, {"up", -0.7}});
}

// The final splint, opened as needed.
void make_splint_shot(Stage& s) {
  s.act("set_movement", {{"segment", "upper"}, {"forward", 4.0}, {"up", 1.0}});
  stop(s, "splint");
  s.act("splint", {{"open_for_thickness", true}});
}

// Jaw bones with a Le Fort I and one split laid, seen from the right.
void lay_cuts(Stage& s) {
  s.act("open_sample", {{"name", "class2_div1"}, {"bone", true}});
  stop(s, "cuts");
  s.act("cut", {{"kind", "split_right"}});
  s.act("cut", {{"kind", "lefort1"}});
}

// The same, sawn, with the upper jaw moved.
void move_pieces(Stage& s) {
  lay_cuts(s);
  stop(s, "movement");
  s.act("set_movement", {{"segment", "maxilla"}, {"forward", 5.0}, {"up", 3.0}});
}

// Both jaws moved, all cuts but the pieces: every plate site.
void move_both(Stage& s) {
  s.act("open_sample", {{"name", "class3"}, {"bone", true}});
  for (const char* kind : {"lefort1", "split_right", "split_left", "chin"}) s.act("cut", {{"kind", kind}});
  s.act("set_movement", {{"segment", "maxilla"}, {"forward", 5.0}, {"up", 2.0}, {"left", 1.5}});
  s.act("set_movement", {{"segment", "mandible"}, {"forward", -5.0}});
  s.act("set_movement", {{"segment", "chin"}, {"forward", 4.0}});
}

// A landmark is being placed: list, drawing of the tooth, loupe.
void placing(Stage& s) {
  stop(s, "records");
  s.act("remove_landmark", {{"name", "46.buccal_groove"}});
  s.act("pick_landmark", {{"name", "46.buccal_groove"}});
  const auto p = s.act("project", {{"landmark", "46.mesiobuccal_cusp"}});
  if (p.is_object()) s.point(p["x"].get<float>() + 6, p["y"].get<float>() + 4);
}

// A zone painted across three crowns of the upper arch, seen from the front, the brush in the hand.
void paint(Stage& s) {
  for (const char* tooth : {"11", "12", "13"}) {
    const std::string name = std::string(tooth) + ".labial_mid";
    const auto p = s.act("project", {{"landmark", name}});
    if (!p.is_object()) continue;
    s.act("paint_zone", {{"on", true}, {"brush_mm", 4.0}});
    s.frames(4);
    const float x = p["x"].get<float>(), y = p["y"].get<float>();
    s.drag(x - 6, y, x + 6, y + 4);
  }
}

// Practice: a question open, and one marked with its construct on the model.
void practise(Stage& s, const char* kind, int seed, const char* answer) {
  s.act("practice", {{"kinds", {kind}}, {"seed", seed}});
  s.frames(12);
  if (*answer) s.act("practice_answer", {{"text", answer}});
}

/// Four questions answered, some rightly.
void practise_to_the_end(Stage& s) {
  s.act("practice", {{"kinds", {"notation", "overjet", "midline"}}, {"count", 4}, {"seed", 3}});
  const std::map<std::string, const char*> answers = {
      {"notation", "41"}, {"overjet", "4 forward"}, {"midline", "1 left"}};
  for (int i = 0; i < 4; ++i) {
    s.frames(8);
    s.act("practice_answer", {{"text", answers.at(s.state()["practice"]["question"]["kind"])}});
    s.act("practice_next");
  }
  s.frames(4);
}

const std::vector<Scene>& scenes() {
  static const std::vector<Scene> all = {
      {"first", [](Stage&) {}},
      {"practice", [](Stage& s) { practise(s, "molar", 3, ""); }},
      {"practice-marked", [](Stage& s) { practise(s, "overjet", 3, "5"); }},
      {"practice-crossbite", [](Stage& s) { practise(s, "crossbite", 3, "none"); }},
      {"practice-correction", [](Stage& s) { practise(s, "correction", 3, "2"); }},
      {"class-make", [](Stage& s) { s.act("class_page"); }},
      {"class-made",
       [](Stage& s) {
         s.act("class_page");
         s.act("class_make", {{"title", "Tuesday, group B"}});
       }},
      {"class-results",
       [](Stage& s) {
         s.act("class_page", {{"page", "results"}});
       }},
      {"class-questions", [](Stage& s) { show_class(s, 6); }},
      {"class-students",
       [](Stage& s) {
         show_class(s, 10);
         s.act("class_show", {{"by_student", true}});
       }},
      {"class-hand-in", show_hand_in},
      {"graded-question", [](Stage& s) { show_graded(s, false); }},
      {"graded-end", [](Stage& s) { show_graded(s, true); }},
      {"class-graded",
       [](Stage& s) {
         s.act("class_page");
         s.act("class_draft", {{"graded", true}, {"inbox", true}, {"title", "Term test"}});
       }},
      {"practice-report", practise_to_the_end},
      {"practice-tooth", [](Stage& s) { practise(s, "notation", 3, ""); }},
      {"oblique", oblique},
      {"moved",
       [](Stage& s) {
         plan(s);
         s.act("view", {{"name", "right"}});
       }},
      {"held", hold_handle},
      {"between",
       [](Stage& s) {
         plan(s);
         s.act("set_movement", {{"segment", "lower"}, {"forward", -3.0}, {"up", 1.0}});
         s.act("compare", {{"shown", "between"}});
         s.act("view", {{"name", "right"}});
       }},
      {"clearance",
       [](Stage& s) {
         overlapping(s);
         s.act("clearance", {{"index", 0}});
       }},
      {"contacts",
       [](Stage& s) {
         stop(s, "clearance");
         s.act("contact_map", {{"on", true}});
         s.act("view", {{"name", "upper"}});
       }},
      {"bite",
       [](Stage& s) {
         stop(s, "bite");
         s.act("view", {{"name", "right"}});
         s.act("explain", {{"id", "overjet"}});
       }},
      {"records", [](Stage& s) { stop(s, "records"); }},
      {"placing", placing},
      {"five",
       [](Stage& s) {
         s.act("layout", {{"name", "record"}});
       }},
      {"four",
       [](Stage& s) {
         s.act("layout", {{"name", "four"}});
       }},
      {"start", [](Stage& s) { s.act("home"); }},
      {"share", [](Stage& s) { s.act("share_box"); }},
      {"keys", [](Stage& s) { s.act("keys"); }},
      {"name", [](Stage& s) { s.act("rename_box"); }},
      {"folded",
       [](Stage& s) {
         s.act("fold", {{"panel", "left"}, {"open", false}});
       }},
      {"target", [](Stage& s) { stop(s, "target"); }},
      {"seats",
       [](Stage& s) {
         stop(s, "target");
         s.act("seat_bite");
         s.act("take_seat", {{"index", 0}});
       }},
      {"cuts", [](Stage& s) { stop(s, "cuts"); }},
      {"laid", lay_cuts},
      {"laid_right",
       [](Stage& s) {
         lay_cuts(s);
         s.act("view", {{"name", "right"}});
       }},
      {"sawn",
       [](Stage& s) {
         move_pieces(s);
         s.act("view", {{"name", "right"}});
       }},
      {"sawn_clearance",
       [](Stage& s) {
         move_pieces(s);
         stop(s, "clearance");
       }},
      {"plates",
       [](Stage& s) {
         move_pieces(s);
         s.act("clearance_page", {{"name", "plates"}});
       }},
      {"plate_chosen",
       [](Stage& s) {
         move_pieces(s);
         s.act("plate", {{"index", 2}});
       }},
      {"plates_all",
       [](Stage& s) {
         move_both(s);
         s.act("plate", {{"index", 6}});
       }},
      {"taken_off_before",
       [](Stage& s) {
         move_pieces(s);
         s.act("clearance_page", {{"name", "taken_off"}});
       }},
      {"taken_off",
       [](Stage& s) {
         move_pieces(s);
         s.act("bone_removal");
       }},
      {"taken_off_section",
       [](Stage& s) {
         move_pieces(s);
         s.frames(40);
         s.act("bone_removal");
         s.act("clearance", {{"index", 0}});
       }},
      {"holds", move_both},
      {"holds_card",
       [](Stage& s) {
         move_both(s);
         stop(s, "movement");
         s.act("stability");
       }},
      {"slope",
       [](Stage& s) {
         lay_cuts(s);
         s.act("cut", {{"kind", "lefort1"}, {"settings", {{"slope_right_deg", 6.0}}}});
         s.act("view", {{"name", "right"}});
       }},
      {"splint", [](Stage& s) { stop(s, "splint"); }},
      {"splint_made", make_splint_shot},
      {"splint_lower",
       [](Stage& s) {
         make_splint_shot(s);
         s.act("show_jaw", {{"jaw", "upper"}, {"on", false}});
         s.act("view", {{"name", "upper"}});
       }},
      {"splint_thickness",
       [](Stage& s) {
         s.act("set_movement", {{"segment", "upper"}, {"forward", 4.0}, {"up", 1.0}});
         stop(s, "splint");
         s.act("splint", {{"opening_mm", 1.5}, {"rim_width_mm", 1.5}});
         s.act("show_jaw", {{"jaw", "upper"}, {"on", false}});
         s.act("show_splint", {{"thickness", true}});
         s.act("view", {{"name", "upper"}});
       }},
      {"splint_mended",
       [](Stage& s) {
         s.act("set_movement", {{"segment", "upper"}, {"forward", 4.0}, {"up", 1.0}});
         stop(s, "splint");
         s.act("splint", {{"opening_mm", 1.5}});
         s.act("mend_splint");
         s.act("view", {{"name", "right"}});
       }},
      {"splint_path",
       [](Stage& s) {
         make_splint_shot(s);
         s.act("set_splint", {{"upper_path", {8.0, -3.0}}});
         s.frames(3);
         s.click("splint.settings");
         s.frames(3);
         s.click("splint.more");
       }},
      {"splint_thin",
       [](Stage& s) {
         make_splint_shot(s);
         s.act("look_at_splint", {{"thin", 0}});
       }},
      {"splint_refused",
       [](Stage& s) {
         overlapping(s);
         stop(s, "splint");
         (void)s.app().act("splint", {{"overlap_mm", 0}}).ok();
       }},
      {"sheet",
       [](Stage& s) {
         plan(s);
         stop(s, "sheet");
       }},
      {"guide",
       [](Stage& s) {
         s.act("guide", {{"on", true}});
       }},
      {"show", [](Stage& s) { s.act("show_box"); }},
      {"through",
       [](Stage& s) {
         overlapping(s);
         s.act("show_jaw", {{"jaw", "upper"}, {"on", true}, {"see_through", true}});
         s.act("tooth_numbers", {{"on", true}});
         s.act("view", {{"name", "right"}});
       }},
      {"section",
       [](Stage& s) {
         s.act("section", {{"on", true}, {"axis", "frontal"}});
       }},
      {"removal",
       [](Stage& s) {
         overlapping(s);
         stop(s, "clearance");
         s.act("view", {{"name", "upper"}});
         s.act("removal", {{"jaw", "upper"}});
       }},
      {"zones", paint},
      {"history",
       [](Stage& s) {
         plan(s);
         s.act("set_movement", {{"segment", "lower"}, {"up", 1.0}});
         s.act("history");
       }},
      {"plans",
       [](Stage& s) {
         plan(s);
         s.act("new_plan");
         s.act("set_movement", {{"segment", "upper"}, {"forward", 3.0}, {"up", 1.0}});
         stop(s, "agree");
         s.click("beside.A");
       }},
      {"agree", [](Stage& s) { stop(s, "agree"); }},
      {"review-shared", [](Stage& s) { Partner(s).share(); }},
      {"review-join", [](Stage& s) { (void)s.app().open_fragment("review=1.x"); }},
      {"review-agreed",
       [](Stage& s) {
         Partner partner(s);
         share_and_talk(s, partner);
       }},
      {"review-people",
       [](Stage& s) {
         Partner partner(s);
         share_and_talk(s, partner);
         s.act("people");
       }},
      {"review-outdated", [](Stage& s) {
         Partner partner(s);
         share_and_talk(s, partner);
         partner.move_upper(6.5);
         s.act("open_remark", {{"id", ""}});
       }}};
  return all;
}

bool wanted(const std::string& name, int argc, char** argv) {
  for (int i = 2; i < argc; ++i)
    if (name.find(argv[i]) != std::string::npos) return true;
  return argc == 2;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) {
    std::fprintf(stderr, "usage: app_shots OUT_DIR [PART OF A NAME ...]\n");
    return 2;
  }
  for (const Size& size : kSizes) {
    for (const bool dark : {false, true}) {
      for (const Scene& scene : scenes()) {
        const std::string name = std::string(size.name) + (dark ? "-dark-" : "-light-") + scene.name;
        if (!wanted(name, argc, argv)) continue;
        Stage stage({size.width, size.height, size.scale, dark, size.touch});
        scene.script(stage);
        stage.shoot(std::string(argv[1]) + "/" + name + ".png");
      }
    }
  }
  return 0;
}
