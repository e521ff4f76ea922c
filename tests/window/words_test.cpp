// What leaves the screen: numbers as text and CSV, pictures, the own selection of rows, the history, the one-minute
// try.
#include <doctest/doctest.h>

#include <unistd.h>

#include <cctype>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <sstream>

#include "app/scene/contact_watch.h"
#include "app/widgets/widgets.h"
#include "stage.h"

namespace intercusp::window {

namespace {

struct Decoded {
  int width = 0, height = 0;
  Bytes rgb;
};

Bytes output_of(const std::string& command) {
  Bytes out;
  FILE* pipe = popen(command.c_str(), "r");
  REQUIRE(pipe);
  for (int c = std::fgetc(pipe); c != EOF; c = std::fgetc(pipe)) out.push_back(static_cast<std::uint8_t>(c));
  CHECK(pclose(pipe) == 0);
  return out;
}

// Read by ImageMagick, which checks the sums of the chunks and of the compressed data.
Decoded decode(const Bytes& png) {
  char path[] = "/tmp/intercusp_picture_XXXXXX";
  const int file = mkstemp(path);
  REQUIRE(file >= 0);
  REQUIRE(write(file, png.data(), png.size()) == static_cast<ssize_t>(png.size()));
  close(file);
  Decoded d;
  const Bytes size = output_of(std::string("identify -regard-warnings -format '%w %h' png:") + path);
  std::istringstream(std::string(size.begin(), size.end())) >> d.width >> d.height;
  d.rgb = output_of(std::string("convert -regard-warnings png:") + path + " -depth 8 rgb:-");
  std::remove(path);
  CHECK(d.rgb.size() == static_cast<std::size_t>(d.width) * static_cast<std::size_t>(d.height) * 3);
  return d;
}

}  // namespace

TEST_CASE("words: each number stands with its uncertainty, as the report gives it") {
  Stage stage({1366, 768});
  stage.act("rows", {{"all", true}});
  int checked = 0;
  const auto report = stage.app().measures();
  for (const auto& m : report["measures"]) {
    if (m["unit"] != "mm") continue;
    char expected[32];
    const double u = m["uncertainty"].get<double>();
    std::snprintf(expected, sizeof expected, "\xC2\xB1%.*f", u >= 0.095 ? 1 : 2, u);
    CHECK_MESSAGE(!stage.text_with(expected).empty(), m["id"].get<std::string>() << " " << expected);
    char value[32];
    std::snprintf(value, sizeof value, "%.2f", std::abs(m["value"].get<double>()));
    CHECK_MESSAGE(!stage.text_with(value).empty(), m["id"].get<std::string>() << " " << value);
    ++checked;
  }
  CHECK(checked >= 10);
}

TEST_CASE("words: explanations are written for people") {
  Stage stage({1366, 768});
  const auto report = stage.app().measures();
  for (const auto& m : report["measures"]) {
    stage.act("explain", {{"id", m["id"]}});
    CHECK_MESSAGE(!stage.text_with("one standard deviation").empty(), m["id"].get<std::string>());
    CHECK(stage.text_with("0.000001").empty());
    CHECK(stage.text_with("e-0").empty());
  }
}

TEST_CASE("words: the table is copied as text and as CSV that reads back (RFC 4180)") {
  Stage stage({1366, 768});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 5.0}});
  stage.act("copy_numbers");
  CHECK(stage.host().clipboard.find("Overjet") != std::string::npos);
  CHECK(stage.host().clipboard.find("at the start 4.00 mm reverse") != std::string::npos);
  stage.act("copy_numbers", {{"format", "csv"}});
  std::istringstream lines(stage.host().clipboard);
  std::string line;
  std::getline(lines, line);
  CHECK(line == "measure,unit,start,now,change,standard_deviation,usual_from,usual_to,class,in_words\r");
  const auto measures = stage.app().measures()["measures"];
  int rows = 0;
  while (std::getline(lines, line)) {
    const std::string id = line.substr(0, line.find(','));
    for (const auto& m : measures) {
      if (m["id"] != id) continue;
      double start = 0, now = 0;
      REQUIRE(std::sscanf(line.c_str() + id.size() + m["unit"].get<std::string>().size() + 2, "%lf,%lf", &start,
                          &now) == 2);
      CHECK(now == doctest::Approx(m["value"].get<double>()).epsilon(1e-4));
      ++rows;
    }
  }
  CHECK(rows >= 12);
  stage.act("copy_sheet");
  CHECK(stage.host().clipboard.find("Upper jaw: 5.0 mm forward") != std::string::npos);
}

TEST_CASE("words: the sheet is handed out as a PDF that says who checked it") {
  Stage stage({1366, 768});
  stage.act("sheet");
  CHECK(stage.host().offered.empty());  // no plan yet
  stage.act("nudge", {{"segment", "upper"}, {"quantity", "forward"}, {"steps", 4}});
  const auto sheet = stage.act("sheet", {{"checked_by", "A. Checker"}, {"date", "2026-02-21"}});
  CHECK(sheet["checked_by"] == "A. Checker");
  CHECK(sheet["movements"][0] == "Upper jaw: 2.0 mm forward.");
  REQUIRE(stage.host().offered.size() == 1);
  const auto& pdf = stage.host().offered.begin()->second;
  const std::string text(pdf.begin(), pdf.end());
  CHECK(text.rfind("%PDF-", 0) == 0);
  CHECK(text.find("Checked by: A. Checker") != std::string::npos);
}

TEST_CASE("words: the own selection of rows is kept for the next visit") {
  std::map<std::string, std::string> kept;
  {
    Stage stage({1366, 768});
    stage.act("rows", {{"id", "overbite"}, {"on", false}});
    CHECK_FALSE(stage.state()["widgets"].contains("row.overbite"));
    CHECK(stage.state()["widgets"].contains("row.overjet"));
    kept = stage.host().settings;
  }
  Stage again({1366, 768}, kept);
  CHECK_FALSE(again.state()["widgets"].contains("row.overbite"));
  again.click("rows.choose");
  again.click("row.overbite");
  again.click("rows.choose");
  CHECK(again.state()["widgets"].contains("row.overbite"));
}

TEST_CASE("words: a picture of a view is a PNG of that view, with caption, scale and no controls") {
  Stage stage({1366, 768});
  stage.look();
  stage.act("view", {{"name", "front"}});
  stage.act("picture");
  stage.frames(2);
  REQUIRE(stage.host().offered.count("class3-front.png") == 1);
  const Decoded d = decode(stage.host().offered["class3-front.png"]);
  const auto rect = stage.state()["views"][0]["rect"];
  CHECK(d.width == rect[2].get<int>());
  CHECK(d.height == rect[3].get<int>());
  // Above the neck of a central incisor stands gum: red over blue, unlike the grey ground.
  const auto gum = stage.act("project", {{"landmark", "11.gingival_mid"}});
  const auto column = static_cast<std::size_t>(gum["x"].get<double>() - rect[0].get<double>());
  const auto line = static_cast<std::size_t>(gum["y"].get<double>() - 30 - rect[1].get<double>());
  const std::size_t pixel = (line * static_cast<std::size_t>(d.width) + column) * 3;
  CHECK(d.rgb[pixel] > d.rgb[pixel + 2] + 40);
  CHECK(stage.state()["widgets"].contains("view_tools"));  // and the controls are back
}

TEST_CASE("words: the history is readable and leads back") {
  Stage stage({1366, 768});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 3.0}});
  stage.act("set_movement", {{"segment", "upper"}, {"up", 1.0}});
  stage.act("history");
  CHECK(!stage.text_with("Upper jaw: 3.0 mm forward, 1.0 mm up").empty());
  CHECK(!stage.text_with("As it was opened").empty());
  stage.click("history.1");
  CHECK(stage.state()["entries"][0]["up_mm"].get<double>() == 0);
  CHECK(stage.state()["entries"][0]["forward_mm"].get<double>() == 3);
  stage.act("go_back_to", {{"steps", 0}});
  CHECK(stage.state()["entries"].empty());
}

TEST_CASE("words: the one-minute try is offered once and follows what is done") {
  Stage stage({1366, 768}, {});
  CHECK(stage.state()["guide"].get<int>() == 0);
  stage.click("guide.start");
  CHECK(stage.state()["guide"].get<int>() == 1);
  CHECK(!stage.text_with("4.00 mm reverse").empty());
  stage.click("card.overjet");
  stage.frames(3);
  CHECK(stage.state()["guide"].get<int>() == 2);
  stage.act("explain");
  stage.click("more.forward");
  stage.frames(3);
  CHECK(stage.state()["guide"].get<int>() == 3);
  stage.click("stop.clearance");
  stage.frames(3);
  CHECK(stage.state()["guide"].get<int>() == 4);
  stage.click("share");
  stage.frames(3);
  CHECK(stage.state()["guide"].get<int>() == -1);
  CHECK(stage.host().settings["tried"] == "yes");
}

TEST_CASE("words: a jaw is hidden or seen through, and comes back") {
  Stage stage({1366, 768});
  stage.act("show_box");
  stage.click("show.upper.through");
  stage.click("show.lower.hidden");
  stage.act("back");
  const auto p = stage.act("project", {{"landmark", "41.labial_mid"}});
  CHECK_FALSE(p["visible"].is_null());
  const auto hit = stage.act("pick", {{"x", p["x"]}, {"y", p["y"].get<double>() + 60}});
  CHECK(hit["body"] != "lower_arch");
  stage.act("show_jaw", {{"jaw", "lower"}, {"on", true}});
  CHECK(stage.act("pick", {{"x", p["x"]}, {"y", p["y"]}})["body"] == "lower_arch");
}

TEST_CASE("words: every place of overlap can be reached in the clearance list") {
  Stage stage({1366, 768});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 5.0}, {"up", -0.7}});
  stage.act("stop", {{"name", "clearance"}});
  stage.frames(6);
  const auto rows = [&] {
    std::size_t n = 0;
    const nlohmann::json widgets = stage.state()["widgets"];
    for (const auto& [id, rect] : widgets.items())
      n += id.rfind("clearance.", 0) == 0 && std::isdigit(static_cast<unsigned char>(id[10]));
    return n;
  };
  std::size_t deep = 0;
  const nlohmann::json places = stage.state()["clearance"];
  for (const auto& place : places) deep += place["depth_mm"].get<double>() >= kTouchingDepthMm;
  REQUIRE(deep > 5);
  CHECK(rows() == 4);
  stage.click("clearance.all");
  stage.frames(3);
  CHECK(rows() == deep);
}

TEST_CASE("words: two plans beside each other are those of the core, and say when the case went on") {
  Stage stage({1366, 768});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 2.0}});
  stage.act("new_plan");
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 3.0}, {"up", 0.5}});
  stage.act("stop", {{"name", "agree"}});
  stage.click("beside.A");
  const auto report = stage.state()["beside"];
  CHECK(report["plans"] == nlohmann::json({"B", "A"}));
  CHECK(report["segments"][0]["difference"]["forward_mm"].get<double>() == doctest::Approx(-1));
  CHECK(!stage.text_with("Plan B and plan A").empty());
  CHECK(!stage.text_with("1.0 mm back, 0.5 mm down").empty());
  CHECK(stage.text_with("changed since").empty());
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 3.5}});
  CHECK(!stage.text_with("changed since").empty());
  stage.click("plans_box.again");
  CHECK(stage.state()["beside"]["segments"][0]["difference"]["forward_mm"].get<double>() == doctest::Approx(-1.5));
  CHECK(stage.text_with("changed since").empty());
}

}  // namespace intercusp::window
