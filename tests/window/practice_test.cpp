// Practice by hand: what is hidden until the answer, what is kept, and that leaving brings the case back.
#include <doctest/doctest.h>

#include "app/errands/errand_bench.h"
#include "app/errands/errand_wire.h"
#include "app/widgets/widgets.h"
#include "stage.h"

namespace intercusp::window {

namespace {

/// Begins practice with one kind and lets its question come on screen.
void begin_kind(Stage& stage, const char* kind) {
  stage.act("practice", {{"kinds", {kind}}, {"seed", 4}});
  stage.frames(20);
}

/// Into the field that is in use, with Enter.
void type_in(Stage& stage, const std::string& text) {
  ImGuiIO& io = ImGui::GetIO();
  for (const char c : text) io.AddInputCharacter(static_cast<unsigned>(c));
  stage.frames(2);
  io.KeysDown[io.KeyMap[ImGuiKey_Enter]] = true;
  stage.frames(2);
  io.KeysDown[io.KeyMap[ImGuiKey_Enter]] = false;
  stage.frames(2);
}

bool on_screen(Stage& stage, const std::string& id) {
  stage.frames(3);
  return stage.state()["widgets"].contains(id);
}

}  // namespace

TEST_CASE("practice: a choice is clicked, marked with its construct, and the next question comes") {
  Stage stage({1366, 768});
  const std::string before = stage.state()["case"]["id"];
  begin_kind(stage, "molar");
  CHECK_FALSE(on_screen(stage, "bite_card"));
  CHECK_FALSE(stage.state()["practice"].contains("key"));
  stage.click("practice.answer");  // nothing is chosen yet
  CHECK_FALSE(stage.state()["practice"].contains("mark"));
  stage.click("practice.choice.5");
  stage.click("practice.answer");
  REQUIRE(stage.state()["practice"].contains("mark"));
  CHECK(on_screen(stage, "bite_card"));
  CHECK(stage.state()["selection"]["measure"].get<std::string>().rfind("molar_", 0) == 0);
  CHECK_FALSE(stage.text_with("Definition").empty());
  CHECK(stage.host().settings["practice_progress"].find("\"molar\"") != std::string::npos);
  stage.click("practice.next");
  stage.frames(3);
  CHECK(stage.state()["practice"]["number"] == 2);
  CHECK_FALSE(on_screen(stage, "bite_card"));
  stage.click("practice.leave");
  CHECK_FALSE(stage.state().contains("practice"));
  CHECK(stage.state()["case"]["id"] == before);
}

TEST_CASE("practice: what is no number stays in its field to be mended, and so does what no bite has") {
  Stage stage({1366, 768});
  begin_kind(stage, "overjet");
  stage.click("practice.number");
  stage.frames(3);
  type_in(stage, "abc");
  CHECK_FALSE(stage.text_with("\"abc\" is not a number").empty());
  stage.frames(3);
  type_in(stage, "99");  // what was refused is selected
  CHECK_FALSE(stage.text_with("99 is outside -30 to 30").empty());
  stage.frames(3);
  type_in(stage, "2.5");
  CHECK_FALSE(stage.text_with("2.5 mm").empty());
}

TEST_CASE("practice: an overjet is seen in section once it is answered, a point is read where it is meant") {
  Stage stage({1366, 768});
  begin_kind(stage, "overjet");
  CHECK(stage.state()["section"]["on"] == false);
  stage.act("practice_answer", {{"text", "3 forward"}});
  CHECK(stage.state()["section"]["on"] == true);
  stage.act("practice_next");
  stage.frames(8);
  CHECK(stage.state()["section"]["on"] == false);
  begin_kind(stage, "landmark");
  const auto row = [&](const char* id) {
    stage.frames(3);
    const auto report = stage.app().measures();
    for (const auto& one : report["measures"])
      if (one["id"] == id) return one["value"].get<double>();
    return 0.0;
  };
  const double width = row("intermolar_lower");
  stage.act("practice_answer", {{"text", "0 0 0"}});
  const double after = row("intermolar_lower");
  CHECK(after > 30);
  if (width > 0) CHECK(after == doctest::Approx(width));
}

TEST_CASE("practice: what is measured with the ruler") {
  Stage stage({1366, 768});
  stage.act("practice",
            {{"set", stage.act("practice_set", {{"kinds", {"overjet"}}, {"count", 1}, {"tools", "probe"}})["set"]}});
  stage.frames(8);
  stage.click("practice.ruler");
  CHECK(stage.state()["ruler"]["on"] == true);
  const auto from = stage.act("ruler", {{"at", {0, 0, 0}}}), to = stage.act("ruler", {{"at", {3, 4, 0}}});
  CHECK(from["points"].size() == 1);
  CHECK(to["mm"].get<double>() == doctest::Approx(5));
  CHECK_FALSE(stage.text_with("5.0 mm: ").empty());
  CHECK(stage.act("ruler", {{"at", {0, 0, 0}}})["points"].size() == 1);  // a third end begins anew
  stage.click("practice.ruler");
  CHECK_FALSE(stage.state().contains("ruler"));
}

TEST_CASE("ruler: what it was laid on has moved: the distance goes") {
  Stage stage({1366, 768});
  stage.act("ruler", {{"at", {0, 0, 0}}});
  stage.act("ruler", {{"at", {3, 4, 0}}});
  stage.frames(4);
  CHECK(stage.state()["ruler"]["mm"] == doctest::Approx(5));
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 3.0}});
  stage.frames(4);
  CHECK_FALSE(stage.state()["ruler"].contains("mm"));
}

TEST_CASE("practice: a progress file that is opened goes on here") {
  Stage stage({1366, 768});
  const std::string text =
      R"({"practice_progress":1,"recipes":2,"answers":[{"kind":"overjet","seed":5,"difficulty":2,"version":2,)"
      R"("credit":1,"guess":0,"off_mm":0.25,"day":20000}],"due":[]})";
  REQUIRE(stage.app().open_file("practice-progress.json", {text.begin(), text.end()}).ok());
  stage.frames(6);
  CHECK_FALSE(stage.text_with("Progress taken in: 1 answer that").empty());
  CHECK(stage.host().settings["practice_progress"].find("\"overjet\"") != std::string::npos);
}

TEST_CASE("practice: a zero that is typed is an answer, and needs no direction") {
  Stage stage({1366, 768});
  begin_kind(stage, "midline");
  stage.click("practice.number");
  stage.frames(3);
  type_in(stage, "0");
  stage.click("practice.answer");
  REQUIRE(stage.state()["practice"].contains("mark"));
  CHECK(stage.state()["practice"]["mark"]["seen"] == "0 mm");
}

TEST_CASE("practice: a point is corrected by placing it once more") {
  Stage stage({1366, 768});
  begin_kind(stage, "landmark");
  const auto draft = [&] { return stage.act("practice_draft", nlohmann::json::object())["text"].get<std::string>(); };
  std::set<std::string> points;
  for (float x = 350; x < 950 && points.size() < 2; x += 40) {
    for (float y = 150; y < 650 && points.size() < 2; y += 40) {
      if (!stage.act("pick", {{"x", x}, {"y", y}}).contains("scan")) continue;
      stage.point(x, y);
      stage.press(true);
      stage.press(false);
      stage.frames(3);
      points.insert(draft());
    }
  }
  CHECK(points.size() == 2);
  CHECK(points.count("") == 0);
}

TEST_CASE("practice: a number is stepped and given its direction, a tooth is pressed") {
  Stage stage({820, 1180, 1, false, true});
  begin_kind(stage, "midline");
  for (int i = 0; i < 2; ++i) stage.click("practice.step.1");
  CHECK_FALSE(stage.text_with("Choose the direction").empty());
  CHECK(stage.act("practice_draft", nlohmann::json::object())["text"] == "");
  stage.click("practice.way.negative");
  CHECK(stage.text_with("Choose the direction").empty());
  stage.click("practice.answer");
  CHECK(stage.state()["practice"]["mark"]["seen"] == "2 mm right");
  begin_kind(stage, "notation");
  stage.click("practice.tooth.36");
  stage.click("practice.tooth.26");  // one tooth only: the other one is let go
  stage.click("practice.answer");
  CHECK(stage.state()["practice"]["mark"]["seen"] == "26");
}

TEST_CASE("practice: the last answer leads to a report, and on to a set for others") {
  Stage stage({1366, 768});
  stage.act("practice", {{"kinds", {"notation"}}, {"count", 1}});
  stage.frames(6);
  stage.act("practice_answer", {{"text", "11"}});
  stage.click("practice.next");
  stage.frames(3);
  CHECK(stage.state()["practice"]["finished"] == true);
  CHECK_FALSE(stage.text_with("Tooth numbers: ").empty());
  CHECK_FALSE(stage.text_with("1. Tooth number").empty());
  CHECK_FALSE(stage.text_with("You: 11").empty());
  stage.click("practice.set");
  CHECK(stage.host().clipboard.find("#set1-") != std::string::npos);
  stage.click("practice.keep");
  CHECK(stage.host().offered.count("practice-progress.json") == 1);
  stage.click("practice.leave");
  CHECK_FALSE(stage.state().contains("practice"));
}

TEST_CASE("practice: with the five views only the model does not turn, and the landmark asked for is not in the case") {
  Stage stage({1366, 768});
  stage.act("practice",
            {{"set", stage.act("practice_set", {{"kinds", {"canine"}}, {"count", 1}, {"tools", "views"}})["set"]}});
  stage.frames(8);
  CHECK(stage.state()["layout"] == "record");
  const auto camera = stage.state()["views"][0]["camera"];
  const auto r = stage.state()["views"][0]["rect"];
  const float x = r[0].get<float>() + 0.5f * r[2].get<float>(), y = r[1].get<float>() + 0.5f * r[3].get<float>();
  stage.drag(x, y, x + 60, y + 20);
  CHECK(stage.state()["views"][0]["camera"] == camera);
  // Nor where a point is to be placed, nor by a key.
  stage.act("practice",
            {{"set", stage.act("practice_set", {{"kinds", {"landmark"}}, {"count", 1}, {"tools", "views"}})["set"]}});
  stage.frames(8);
  const auto placing = stage.state()["views"][0]["camera"];
  stage.drag(x, y, x + 60, y + 20);
  ImGui::GetIO().KeysDown['2'] = true;
  stage.frames(2);
  ImGui::GetIO().KeysDown['2'] = false;
  CHECK(stage.state()["views"][0]["camera"] == placing);
  begin_kind(stage, "landmark");
  const std::string asked = stage.state()["practice"]["question"]["landmark"];
  for (const auto& name : stage.state()["case"]["landmarks"]) CHECK(name != asked);
  stage.act("practice_answer", {{"text", "0 0 0"}});
  CHECK(stage.state()["practice"]["mark"]["verdict"] == "wrong");
}

TEST_CASE("practice: a question made on the other side is the question made here") {
  const Errand asked = MakeQuestion{{QuestionKind::sheet, 3, 3}, 20000};
  Errand errand = asked, same = asked;
  SurfaceLedger here{1}, there{2};
  ErrandBench bench;
  const auto bytes = pack_errand(errand, here);
  auto unpacked = unpack_errand(bytes.data(), bytes.size(), there);
  REQUIRE(unpacked.has_value());
  ErrandAnswer answer = bench.run(*unpacked, Progress()), mine = bench.run(same, Progress());
  const auto back = pack_answer(answer, there);
  auto arrived = unpack_answer(back.data(), back.size(), here);
  REQUIRE(arrived.has_value());
  const auto &a = std::get<QuestionMade>(*arrived), &b = std::get<QuestionMade>(mine);
  CHECK(a.question.value == b.question.value);
  CHECK(a.question.sheet == b.question.sheet);
  CHECK(a.question.construct.size() == b.question.construct.size());
  REQUIRE(a.opened.plans.size() == 1);
  CHECK(a.opened.plans[0].entries.size() == 1);
  CHECK(a.notes.size() == b.notes.size());
}

}  // namespace intercusp::window
