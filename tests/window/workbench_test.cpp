// The workbench: places in the way by number, the overlap filled in the section, what points at the viewer, scales,
// the loupe's place, keys and condyle centres.
#include <doctest/doctest.h>

#include <GLES3/gl3.h>

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "app/view/key_table.h"
#include "app/widgets/widgets.h"
#include "stage.h"

namespace intercusp::window {

namespace {

struct Box {
  double x, y, w, h;
  double middle_x() const { return x + 0.5 * w; }
  double middle_y() const { return y + 0.5 * h; }
};

Box box_of(Stage& stage, const std::string& id) {
  const Rect r = stage.place_of(id);
  return {r.x, r.y, r.w, r.h};
}

void overlapping_jaws(Stage& stage) {
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 5.0}, {"up", -0.7}});
  stage.act("stop", {{"name", "clearance"}});
  stage.frames(4);
}

// Share of the pixels in a square of the screen that have the colour of overlap, by its hue: vermillion (Okabe and Ito
// 2008: red far above blue, green between).
double vermillion_share(Stage& stage, double x, double y, int half) {
  stage.look();
  const int height = stage.window().framebuffer_height, n = 2 * half + 1;
  std::vector<unsigned char> rgba(static_cast<std::size_t>(n * n) * 4);
  glReadPixels(static_cast<int>(x) - half, height - static_cast<int>(y) - half, n, n, GL_RGBA, GL_UNSIGNED_BYTE,
               rgba.data());
  int hits = 0;
  for (int i = 0; i < n * n; ++i) {
    const unsigned char* p = &rgba[static_cast<std::size_t>(i) * 4];
    hits += p[0] > 100 && p[0] > p[1] + 55 && p[1] > p[2] + 20;
  }
  return static_cast<double>(hits) / (n * n);
}

double number_after(const std::string& words, const std::string& key) {
  const std::size_t at = words.find(key);
  return at == std::string::npos ? -1 : std::atof(words.c_str() + at + key.size());
}

}  // namespace

TEST_CASE("workbench: each place of the clearance list has its number on the model, and pressing it goes there") {
  for (const StageSize& size : {StageSize{1366, 768}, StageSize{820, 1180, 1, false, true}}) {
    Stage stage(size);
    overlapping_jaws(stage);
    stage.act("view", {{"name", "lower"}});
    stage.frames(4);
    std::vector<Box> marks;
    for (int i = 0; i < 4; ++i) {
      CHECK(!stage.text_with(std::to_string(i + 1)).empty());
      const Box mark = box_of(stage, "place_mark." + std::to_string(i));
      const auto at = stage.state()["clearance"][static_cast<std::size_t>(i)]["at"];
      const auto p = stage.act("project", {{"x", at[0]}, {"y", at[1]}, {"z", at[2]}});
      CHECK(std::hypot(mark.middle_x() - p["x"].get<double>(), mark.middle_y() - p["y"].get<double>()) < 72);
      for (const Box& other : marks)
        CHECK(std::hypot(mark.middle_x() - other.middle_x(), mark.middle_y() - other.middle_y()) > 20);
      marks.push_back(mark);
    }
    stage.click("place_mark.2");
    CHECK(stage.state()["selection"]["clearance"] == 2);
    CHECK(stage.state()["section"]["on"] == true);
    stage.act("stop", {{"name", "movement"}});
    CHECK(!stage.shows("place_mark.0"));
  }
}

TEST_CASE("workbench: the section fills what the two jaws share, and says how deep it is") {
  Stage stage({1366, 768});
  overlapping_jaws(stage);
  stage.click("clearance.0");
  stage.frames(4);
  const auto row = stage.state()["clearance"][0];
  char depth[32];
  std::snprintf(depth, sizeof depth, "%.2f mm overlap", row["depth_mm"].get<double>());
  const std::string label = stage.text_with(depth);
  CHECK(label.rfind("1  ", 0) == 0);
  CHECK(number_after(label, ", ") == doctest::Approx(row["depth_mm"].get<double>()).epsilon(0.01));
  // Within the overlap: halfway from the deepest point to the other surface, which lies below it (26 on 36 from above).
  const auto rect = stage.state()["views"][0]["rect"];
  const double px_per_mm = 0.5 * rect[3].get<double>() / stage.state()["camera"]["half_height_mm"].get<double>();
  const double x = rect[0].get<double>() + 0.5 * rect[2].get<double>(),
               y = rect[1].get<double>() + 0.5 * rect[3].get<double>();
  const double half_depth = 0.5 * row["depth_mm"].get<double>() * px_per_mm;
  const double below = vermillion_share(stage, x + 14, y + half_depth, 8),
               above = vermillion_share(stage, x + 14, y - half_depth, 8);
  CHECK(std::max(below, above) > 0.5);
  // Apart there is nothing to fill.
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 5.0}, {"up", 6.0}});
  stage.act("section", {{"on", true}, {"axis", "sagittal"}});
  stage.frames(4);
  for (int i = -3; i <= 3; ++i) CHECK(vermillion_share(stage, x + 60 * i, y, 24) < 0.02);
}

TEST_CASE("workbench: a value beyond the end of its scale has an arrow, one within it has none") {
  Stage stage({1366, 768});
  CHECK(stage.shows("beyond.row.overjet"));  // 4 mm reverse, far below the usual range
  CHECK(!stage.shows("beyond.row.overbite"));
  CHECK(!stage.shows("beyond.molar_right"));
  stage.act("set_movement", {{"segment", "upper"}, {"forward", -9.0}, {"left", 9.0}});
  CHECK(stage.shows("beyond.molar_right"));
  CHECK(stage.shows("beyond.midline_upper"));
}

TEST_CASE("workbench: the loupe lies aside, clear of the tooth that one aims at") {
  for (const StageSize& size : {StageSize{1366, 768}, StageSize{820, 1180, 1, false, true}}) {
    Stage stage(size);
    stage.act("stop", {{"name", "records"}});
    stage.act("remove_landmark", {{"name", "46.buccal_groove"}});
    for (const char* aim : {"46.mesiobuccal_cusp", "36.mesiobuccal_cusp", "31.incisal_edge_mid"}) {
      stage.act("pick_landmark", {{"name", "46.buccal_groove"}});
      stage.frames(4);
      const auto p = stage.act("project", {{"landmark", aim}});
      stage.point(p["x"].get<float>(), p["y"].get<float>());
      stage.frames(2);
      const Box loupe = box_of(stage, "loupe");
      const double away =
          std::hypot(loupe.middle_x() - p["x"].get<double>(), loupe.middle_y() - p["y"].get<double>()) - 0.5 * loupe.w;
      CHECK_MESSAGE(away > 60, aim << " lies " << away << " px from the loupe's rim");
    }
  }
}

TEST_CASE("workbench: turned by hand or fitted from anywhere, the whole case stays in the view") {
  Stage stage({1366, 768});
  const auto whole = [&] {
    const auto r = stage.state()["views"][0]["rect"];
    for (const char* name : {"17.distobuccal_cusp", "27.distobuccal_cusp", "47.distobuccal_cusp", "37.distobuccal_cusp",
                             "11.gingival_mid", "41.gingival_mid"}) {
      const auto p = stage.act("project", {{"landmark", name}});
      CHECK(p["x"].get<double>() > r[0].get<double>());
      CHECK(p["x"].get<double>() < r[0].get<double>() + r[2].get<double>());
    }
  };
  const auto rect = stage.state()["views"][0]["rect"];
  const float x = rect[0].get<float>() + 0.5f * rect[2].get<float>(),
              y = rect[1].get<float>() + 0.25f * rect[3].get<float>();
  for (const float dx : {70.f, -160.f, 120.f}) {
    stage.drag(x, y, x + dx, y + 30);
    whole();
    stage.act("view", {{"name", "fit"}});
    whole();
  }
  // Nearer on purpose, it stays so near.
  stage.act("set_camera", {{"rotation", stage.state()["camera"]["rotation"]},
                           {"target", stage.state()["camera"]["target"]},
                           {"half_height_mm", 9.0}});
  stage.drag(x, y, x + 40, y);
  CHECK(stage.state()["camera"]["half_height_mm"].get<double>() == doctest::Approx(9.0));
}

TEST_CASE("workbench: every button over the view names its key, and every such key is in the list and works") {
  Stage stage({1366, 768});
  int asked = 0;
  const auto widgets = stage.state()["widgets"];
  for (const auto& [id, rect] : widgets.items()) {
    if (id.rfind("view.", 0) != 0 && id.rfind("layout.", 0) != 0 && id.rfind("tool.", 0) != 0) continue;
    CHECK_MESSAGE(key_hint(id).rfind("Key ", 0) == 0, id << " names no key");
    ++asked;
  }
  CHECK(asked >= 13);
  for (const ButtonKey& b : button_keys()) {
    const std::string key = b.key;
    CHECK_MESSAGE(std::any_of(key_rows().begin(), key_rows().end(),
                              [&](const KeyRow& row) {
                                const std::string keys = std::string(" ") + row.keys + " ";
                                return keys.find(" " + key + " ") != std::string::npos ||
                                       keys.find(" " + key + ",") != std::string::npos;
                              }),
                  key << " is not in the list");
  }
  const auto press = [&](int key) {
    ImGui::GetIO().KeysDown[key] = true;
    stage.frames(1);
    ImGui::GetIO().KeysDown[key] = false;
    stage.frames(2);
  };
  press('V');
  CHECK(stage.state()["layout"] == "two");
  press('V');
  CHECK(stage.state()["layout"] == "four");
  press('H');
  CHECK(stage.shows("show_box"));
}

TEST_CASE("workbench: condyle centres are said in distances where there is no bone, and the jaw then closes") {
  Stage stage({1366, 768});
  stage.act("open_sample", {{"name", "class1"}, {"triangles", 20000}});
  stage.act("stop", {{"name", "target"}});
  stage.frames(3);
  stage.click("condyle.average");
  // Bonwill 1858: 101.6 mm between the centres, and from each to the incisal point.
  for (const char* name : {"condyle_centre_right", "condyle_centre_left"})
    REQUIRE(stage.act("project", {{"landmark", name}}).is_object());
  CHECK(!stage.text_with("79.1 mm").empty());  // 101.6 cos 30 cos 26 behind
  CHECK(!stage.text_with("38.6 mm").empty());  // 101.6 cos 30 sin 26 above
  CHECK(!stage.text_with("50.8 mm").empty());
  stage.act("condyle_centres", {{"side", "right"}, {"back_mm", 84.0}});
  CHECK(!stage.text_with("84.0 mm").empty());
  CHECK(!stage.text_with("79.1 mm").empty());  // the other side stays
  stage.act("set_movement", {{"segment", "lower"}, {"pitch", -4.0}, {"up", -3.0}});
  stage.act("stop", {{"name", "target"}});
  stage.frames(3);
  stage.click("close.contact");
  stage.frames(6);
  const auto entries = stage.state()["entries"];
  CHECK(entries.size() == 2);
  stage.act("undo");
  stage.act("undo");
  stage.act("undo");
  CHECK(!stage.text_with("79.1 mm").empty());
  CHECK(stage.text_with("84.0 mm").empty());
  CHECK(!stage.app().act("condyle_centres", {{"side", "right"}, {"aside_mm", -3.0}}).ok());
}

TEST_CASE("workbench: a zone is painted by hand, wiped off, undone stroke by stroke and kept in the case") {
  Stage stage({1366, 768});
  stage.look();
  stage.act("view", {{"name", "lower"}});
  const auto purple = [&](const char* landmark) {
    stage.frames(3);
    const auto p = stage.act("project", {{"landmark", landmark}});
    unsigned char c[4];
    glReadPixels(p["x"].get<int>() + 9, stage.window().framebuffer_height - p["y"].get<int>(), 1, 1, GL_RGBA,
                 GL_UNSIGNED_BYTE, c);
    return c[0] > c[1] + 12 && c[2] > c[1] + 10;  // reddish purple: green is least
  };
  CHECK(!purple("46.central_fossa"));
  stage.act("paint_zone", {{"on", true}, {"brush_mm", 2.0}});
  const auto at = stage.act("project", {{"landmark", "46.central_fossa"}});
  const float x = at["x"].get<float>(), y = at["y"].get<float>();
  const double turned = stage.state()["camera"]["rotation"][0].get<double>();
  stage.drag(x, y, x + 3, y);
  REQUIRE(stage.state()["zones"].size() == 1);
  CHECK(stage.state()["zones"][0]["body"] == "lower_arch");
  // One touch covers a disc of 2 mm, more on a bumpy surface, less where triangles stand over its rim.
  const double first = stage.state()["zones"][0]["area_mm2"].get<double>(), disc = 3.14159 * 2 * 2;
  CHECK(first > 0.7 * disc);
  CHECK(first < 2.0 * disc);
  CHECK(purple("46.central_fossa"));
  CHECK(stage.state()["camera"]["rotation"][0].get<double>() == turned);  // painting does not turn the model
  stage.drag(x, y, x, y + 40);
  CHECK(stage.state()["zones"][0]["area_mm2"].get<double>() > 1.4 * first);
  stage.act("undo");
  CHECK(stage.state()["zones"][0]["area_mm2"].get<double>() == doctest::Approx(first));
  const auto bytes = stage.app().save();
  stage.act("paint_zone", {{"on", true}, {"erase", true}, {"brush_mm", 4.0}});
  stage.drag(x, y, x + 3, y);
  CHECK(stage.state()["zones"][0]["area_mm2"].get<double>() < 0.3 * first);
  CHECK(!purple("46.central_fossa"));
  CHECK(stage.app().open_file("kept.glb", bytes).ok());
  CHECK(stage.state()["zones"][0]["area_mm2"].get<double>() == doctest::Approx(first));
  stage.act("clear_zones");
  CHECK(stage.state()["zones"].empty());
}

TEST_CASE("after a place of the clearance list the view goes back to where it was") {
  Stage stage({1366, 768});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 5.0}, {"up", -0.7}});
  stage.act("stop", {{"name", "clearance"}});
  stage.frames(4);
  const auto before = stage.state()["views"][0]["camera"];
  stage.act("clearance", {{"index", 0}});
  stage.frames(60);
  CHECK(stage.state()["views"][0]["camera"] != before);
  stage.act("stop", {{"name", "bite"}});
  stage.frames(60);
  CHECK(stage.state()["views"][0]["camera"]["half_height_mm"].get<double>() ==
        doctest::Approx(before["half_height_mm"].get<double>()));
}

}  // namespace intercusp::window
