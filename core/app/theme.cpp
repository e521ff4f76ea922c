#include "app/theme.h"

#include <algorithm>
#include <cmath>

#include "app/embedded.h"

namespace intercusp {

namespace {

constexpr ImU32 rgb(unsigned hex) {
  return IM_COL32((hex >> 16) & 255, (hex >> 8) & 255, hex & 255, 255);
}

struct Current {
  const Theme* theme = nullptr;
  float scale = 1;
  bool touch = false;
  Fonts fonts;
};

Current& current() {
  static Current c;
  return c;
}

Theme make_light() {
  Theme t{};
  t.panel = rgb(0xFBFAF7), t.raised = rgb(0xF0EFEA), t.hover = rgb(0xE6E6E0), t.held = rgb(0xD8DAD5);
  t.line = rgb(0xDAD9D2);
  t.text = rgb(0x20262B), t.soft = rgb(0x565F66), t.faint = rgb(0xA2A7A8);
  t.accent = rgb(0x0A6670), t.on_accent = rgb(0xFFFFFF), t.accent_ground = rgb(0xDCECEC);
  t.view_top = rgb(0xEEF0F0), t.view_bottom = rgb(0xD5DADC), t.ghost = rgb(0x2F6E8F);
  t.upper = rgb(0x8A5A2B), t.lower = rgb(0x3C5F8A);
  t.overlap = rgb(0xD55E00), t.overlap_text = rgb(0x984200);
  t.gap = rgb(0x56B4E9), t.gap_text = rgb(0x1F6A96);
  t.usual = rgb(0x009E73), t.usual_text = rgb(0x006747);
  return t;
}

Theme make_dark() {
  Theme t{};
  t.dark = true;
  t.panel = rgb(0x1D2024), t.raised = rgb(0x292D32), t.hover = rgb(0x343A40), t.held = rgb(0x414950);
  t.line = rgb(0x363B41);
  t.text = rgb(0xECEAE5), t.soft = rgb(0xADB3B8), t.faint = rgb(0x6B7277);
  t.accent = rgb(0x63C3C6), t.on_accent = rgb(0x0E1C1D), t.accent_ground = rgb(0x1F3C40);
  t.view_top = rgb(0x33383D), t.view_bottom = rgb(0x1A1D20), t.ghost = rgb(0x8CC7E6);
  t.upper = rgb(0xE0B27E), t.lower = rgb(0x8FB6E6);
  t.overlap = rgb(0xE8741A), t.overlap_text = rgb(0xF59A55);
  t.gap = rgb(0x56B4E9), t.gap_text = rgb(0x7CC5F0);
  t.usual = rgb(0x1DB58A), t.usual_text = rgb(0x4FD0A8);
  return t;
}

// The digits first, each as wide as the widest, then everything else into the same font: numbers line up in columns.
ImFont* add_font(const unsigned char* data, unsigned size, float pixels) {
  static const ImWchar digits[] = {'0', '9', 0};
  static const ImWchar others[] = {0x20,   0x2f,   0x3a,   0xff,   0x2009, 0x2022, 0x2026, 0x2026, 0x2032, 0x2032,
                                   0x2190, 0x2193, 0x2212, 0x2212, 0x2248, 0x2248, 0x2264, 0x2265, 0};
  ImFontConfig config;
  config.FontDataOwnedByAtlas = false;
  config.OversampleH = 2;
  config.OversampleV = 1;
  config.PixelSnapH = true;
  config.RasterizerMultiply = 1.1f;
  config.GlyphMinAdvanceX = config.GlyphMaxAdvanceX = std::ceil(pixels * 0.52f);
  ImFontAtlas* atlas = ImGui::GetIO().Fonts;
  // stb_truetype only reads the data; ImGui's signature asks for a pointer to mutable bytes.
  void* bytes = const_cast<unsigned char*>(data);
  atlas->AddFontFromMemoryTTF(bytes, static_cast<int>(size), pixels, &config, digits);
  config.GlyphMinAdvanceX = 0;
  config.GlyphMaxAdvanceX = 1.0e6f;
  config.MergeMode = true;
  return atlas->AddFontFromMemoryTTF(bytes, static_cast<int>(size), pixels, &config, others);
}

double luminance(ImU32 c) {
  double parts[3];
  for (int k = 0; k < 3; ++k) {
    const double v = ((c >> (8 * k)) & 255) / 255.0;
    parts[k] = v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
  }
  return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2];
}

ImVec4 colour4(ImU32 c) {
  return ImGui::ColorConvertU32ToFloat4(c);
}

}  // namespace

const Theme& light_theme() {
  static const Theme t = make_light();
  return t;
}

const Theme& dark_theme() {
  static const Theme t = make_dark();
  return t;
}

const Theme& theme() {
  return current().theme ? *current().theme : light_theme();
}

void use_theme(const Theme& t, float scale, bool touch) {
  current().theme = &t;
  current().scale = scale;
  current().touch = touch;
}

float px(float logical) {
  return std::round(logical * current().scale);
}
bool touch_input() {
  return current().touch;
}
float target_height() {
  return px(current().touch ? 44.0f : 28.0f);
}
const Fonts& fonts() {
  return current().fonts;
}

void build_fonts(float scale) {
  ImGui::GetIO().Fonts->Clear();
  const auto regular = [&](float size) {
    return add_font(embedded::kInterRegular, embedded::kInterRegularSize, std::round(size * scale));
  };
  const auto semi_bold = [&](float size) {
    return add_font(embedded::kInterSemiBold, embedded::kInterSemiBoldSize, std::round(size * scale));
  };
  Fonts& f = current().fonts;
  f.body = regular(17.5f);
  f.small = regular(15.5f);
  f.strong = semi_bold(17.5f);
  f.small_strong = semi_bold(15.5f);
  f.heading = semi_bold(24);
  f.tiny = regular(13);
  ImGui::GetIO().Fonts->Build();
}

ImU32 with_alpha(ImU32 colour, float alpha) {
  const auto a = static_cast<ImU32>(std::lround(std::clamp(alpha, 0.0f, 1.0f) * 255));
  return (colour & ~IM_COL32_A_MASK) | (a << IM_COL32_A_SHIFT);
}

ImU32 mixed(ImU32 a, ImU32 b, float t) {
  ImU32 out = 0;
  for (int k = 0; k < 32; k += 8) {
    const float v = static_cast<float>((a >> k) & 255) * (1 - t) + static_cast<float>((b >> k) & 255) * t;
    out |= static_cast<ImU32>(std::lround(v)) << k;
  }
  return out;
}

double contrast(ImU32 a, ImU32 b) {
  const double x = luminance(a), y = luminance(b);
  return (std::max(x, y) + 0.05) / (std::min(x, y) + 0.05);
}

void apply_style() {
  ImGuiStyle& s = ImGui::GetStyle();
  const Theme& t = theme();
  s = ImGuiStyle();
  s.WindowPadding = {px(16), px(12)};
  s.FramePadding = {px(8), px(5)};
  s.ItemSpacing = {px(8), px(6)};
  s.ItemInnerSpacing = {px(4), px(4)};
  s.WindowBorderSize = s.FrameBorderSize = s.PopupBorderSize = 0;
  s.FrameRounding = s.GrabRounding = px(5);
  s.WindowRounding = 0;
  s.PopupRounding = px(8);
  s.ScrollbarSize = px(10);
  s.ScrollbarRounding = px(5);
  s.AntiAliasedLinesUseTex = true;
  ImVec4* c = s.Colors;
  c[ImGuiCol_Text] = colour4(t.text);
  c[ImGuiCol_TextDisabled] = colour4(t.faint);
  c[ImGuiCol_WindowBg] = c[ImGuiCol_PopupBg] = colour4(t.panel);
  c[ImGuiCol_ChildBg] = ImVec4(0, 0, 0, 0);
  c[ImGuiCol_FrameBg] = colour4(t.raised);
  c[ImGuiCol_FrameBgHovered] = colour4(t.hover);
  c[ImGuiCol_FrameBgActive] = colour4(t.hover);
  c[ImGuiCol_TextSelectedBg] = colour4(with_alpha(t.accent, 0.35f));
  c[ImGuiCol_ScrollbarBg] = ImVec4(0, 0, 0, 0);
  c[ImGuiCol_ScrollbarGrab] = colour4(t.held);
  c[ImGuiCol_ScrollbarGrabHovered] = c[ImGuiCol_ScrollbarGrabActive] = colour4(t.soft);
  c[ImGuiCol_NavHighlight] = colour4(t.accent);
  c[ImGuiCol_Border] = colour4(t.line);
  c[ImGuiCol_ModalWindowDimBg] = ImVec4(0, 0, 0, 0.35f);
}

}  // namespace intercusp
