// Contrast of the interface's colours, by the definition of contrast ratio and relative luminance in the Web Content
// Accessibility Guidelines (WCAG) 2.2, written out here apart from the program's own.
#include <GLES3/gl3.h>
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "app/theme.h"
#include "stage.h"

namespace intercusp {

namespace {

double relative_luminance(ImU32 c) {
  const auto channel = [&](int shift) {
    const double s = static_cast<double>((c >> shift) & 255) / 255.0;
    return s <= 0.04045 ? s / 12.92 : std::pow((s + 0.055) / 1.055, 2.4);
  };
  return 0.2126 * channel(IM_COL32_R_SHIFT) + 0.7152 * channel(IM_COL32_G_SHIFT) + 0.0722 * channel(IM_COL32_B_SHIFT);
}

double contrast_ratio(ImU32 a, ImU32 b) {
  const double x = relative_luminance(a), y = relative_luminance(b);
  return (std::max(x, y) + 0.05) / (std::min(x, y) + 0.05);
}

struct Pair {
  const char* name;
  ImU32 words, ground;
};

// Every colour that words have, on every ground that they stand on.
std::vector<Pair> pairs_of(const Theme& t) {
  std::vector<Pair> pairs = {{"text on an accent button", t.on_accent, t.accent},
                             {"accent on its ground", t.accent, t.accent_ground},
                             {"accent on a raised ground", t.accent, t.raised},
                             {"accent on a panel", t.accent, t.panel}};
  const struct {
    const char* name;
    ImU32 colour;
  } grounds[] = {{"panel", t.panel},          {"raised", t.raised},      {"hover", t.hover},
                 {"chosen", t.accent_ground}, {"view, top", t.view_top}, {"view, bottom", t.view_bottom}};
  for (const auto& g : grounds) {
    pairs.push_back({g.name, t.text, g.colour});
    pairs.push_back({g.name, t.soft, g.colour});
    pairs.push_back({g.name, t.overlap_text, g.colour});
    pairs.push_back({g.name, t.usual_text, g.colour});
  }
  pairs.push_back({"words held down", t.text, t.held});
  pairs.push_back({"gap words on a panel", t.gap_text, t.panel});
  return pairs;
}

/// Of the pixels in a square of 17 about a place in logical pixels.
double median_luminance(window::Stage& stage, float x, float y) {
  std::vector<unsigned char> rgba(17 * 17 * 4);
  glReadPixels(static_cast<int>(x) - 8, stage.window().framebuffer_height - static_cast<int>(y) - 9, 17, 17, GL_RGBA,
               GL_UNSIGNED_BYTE, rgba.data());
  std::vector<double> light;
  for (std::size_t i = 0; i < rgba.size(); i += 4)
    light.push_back(relative_luminance(IM_COL32(rgba[i], rgba[i + 1], rgba[i + 2], 255)));
  std::nth_element(light.begin(), light.begin() + light.size() / 2, light.end());
  return light[light.size() / 2];
}

}  // namespace

TEST_CASE("contrast: the formula gives WCAG's own extremes and a known grey") {
  CHECK(contrast_ratio(IM_COL32(255, 255, 255, 255), IM_COL32(0, 0, 0, 255)) == doctest::Approx(21.0));
  // #767676 on white is the lightest grey that passes 4.5: 4.54 (WCAG 2 technique G18, common example, from memory).
  CHECK(contrast_ratio(IM_COL32(0x76, 0x76, 0x76, 255), IM_COL32(255, 255, 255, 255)) ==
        doctest::Approx(4.54).epsilon(0.002));
  CHECK(contrast(IM_COL32(0x76, 0x76, 0x76, 255), IM_COL32(255, 255, 255, 255)) ==
        doctest::Approx(contrast_ratio(IM_COL32(0x76, 0x76, 0x76, 255), IM_COL32(255, 255, 255, 255))));
}

TEST_CASE("contrast: words reach 4.5 to 1 on every ground, light and dark") {
  for (const Theme* t : {&light_theme(), &dark_theme()}) {
    for (const Pair& p : pairs_of(*t)) {
      const double ratio = contrast_ratio(p.words, p.ground);
      CHECK_MESSAGE(ratio >= 4.5, std::string(t->dark ? "dark: " : "light: ")
                                      << std::string(p.name) << " has " << ratio);
    }
  }
}

TEST_CASE("contrast: marks and the frame of the focus reach 3 to 1 on a panel (WCAG 2.2, 1.4.11)") {
  for (const Theme* t : {&light_theme(), &dark_theme()}) {
    for (const ImU32 mark : {t->accent, t->soft, t->overlap, t->usual_text, t->upper, t->lower})
      CHECK(contrast_ratio(mark, t->panel) >= 3.0);
  }
}

TEST_CASE("contrast: a painted zone reaches 3 to 1 against enamel and against gum, as it is drawn (WCAG 2.2, 1.4.11)") {
  for (const bool dark : {false, true}) {
    window::Stage stage({1366, 768, 1, dark});
    stage.look();
    stage.frames(3);
    const auto enamel = stage.act("project", {{"landmark", "11.labial_mid"}});
    const auto edge = stage.act("project", {{"landmark", "11.gingival_mid"}});
    const float x = enamel["x"].get<float>(), y = enamel["y"].get<float>(), gum_y = edge["y"].get<float>() - 24;
    const double enamel_light = median_luminance(stage, x, y), gum_light = median_luminance(stage, x, gum_y);
    stage.act("paint_zone", {{"on", true}, {"brush_mm", 4.0}});
    stage.drag(x, y, x + 1, y);
    stage.drag(x, gum_y, x + 1, gum_y);
    stage.act("paint_zone", {{"on", false}});
    stage.point(5, 5);
    stage.frames(3);
    CHECK((enamel_light + 0.05) / (median_luminance(stage, x, y) + 0.05) >= 3.0);
    CHECK((gum_light + 0.05) / (median_luminance(stage, x, gum_y) + 0.05) >= 3.0);
  }
}

}  // namespace intercusp
