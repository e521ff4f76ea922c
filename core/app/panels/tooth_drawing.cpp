#include "app/panels/tooth_drawing.h"

#include <cmath>
#include <cstdlib>
#include <utility>
#include <vector>

#include "anatomy/notation.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"

namespace intercusp {

namespace {

// Drawing axes: x from mesial (0) to distal (1), y from the cheek or lip side (0) to the tongue side (1).
using Spot = std::pair<float, float>;

Spot spot_of(const std::string& feature) {
  static const std::vector<std::pair<std::string, Spot>> spots = {{"incisal_edge_mid", {0.5f, 0.38f}},
                                                                  {"incisal_edge_mesial", {0.12f, 0.38f}},
                                                                  {"incisal_edge_distal", {0.88f, 0.38f}},
                                                                  {"incisal_edge_labial", {0.5f, 0.24f}},
                                                                  {"labial_mid", {0.5f, 0.06f}},
                                                                  {"gingival_mid", {0.5f, 0.0f}},
                                                                  {"cingulum", {0.5f, 0.85f}},
                                                                  {"cusp_tip", {0.5f, 0.38f}},
                                                                  {"buccal_cusp", {0.5f, 0.22f}},
                                                                  {"palatal_cusp", {0.5f, 0.78f}},
                                                                  {"lingual_cusp", {0.5f, 0.78f}},
                                                                  {"central_groove", {0.5f, 0.5f}},
                                                                  {"mesiobuccal_cusp", {0.24f, 0.2f}},
                                                                  {"distobuccal_cusp", {0.72f, 0.2f}},
                                                                  {"mesiopalatal_cusp", {0.3f, 0.8f}},
                                                                  {"distopalatal_cusp", {0.78f, 0.82f}},
                                                                  {"mesiolingual_cusp", {0.26f, 0.8f}},
                                                                  {"distolingual_cusp", {0.72f, 0.8f}},
                                                                  {"distal_cusp", {0.93f, 0.42f}},
                                                                  {"buccal_groove", {0.47f, 0.08f}},
                                                                  {"central_fossa", {0.5f, 0.5f}},
                                                                  {"contact_mesial", {0.0f, 0.45f}},
                                                                  {"contact_distal", {1.0f, 0.45f}}};
  for (const auto& [name, spot] : spots)
    if (feature == name) return spot;
  return {0.5f, 0.5f};
}

std::vector<Spot> cusps_of(int tooth) {
  if (is_molar(tooth) && is_upper(tooth)) return {{0.24f, 0.2f}, {0.72f, 0.2f}, {0.3f, 0.8f}, {0.78f, 0.82f}};
  if (is_molar(tooth)) return {{0.24f, 0.2f}, {0.66f, 0.2f}, {0.26f, 0.8f}, {0.72f, 0.8f}};
  if (is_premolar(tooth)) return {{0.5f, 0.22f}, {0.5f, 0.78f}};
  return {};
}

}  // namespace

void draw_tooth(ImDrawList* list, const Rect& r, const std::string& landmark) {
  const int tooth = std::atoi(landmark.c_str());
  const std::size_t dot = landmark.find('.');
  if (!is_permanent_tooth(tooth) || dot == std::string::npos) return;
  const Theme& t = theme();
  // The mesial side lies towards the midline as one looks at the patient; the cheek side is up for the upper jaw.
  const bool mesial_right = is_right(tooth), cheek_up = is_upper(tooth);
  const float size = std::min(r.w, r.h) - px(26), slim = is_incisor(tooth) || is_canine(tooth) ? 0.72f : 0.95f;
  const float cx = r.x + 0.5f * r.w, cy = r.y + 0.5f * r.h + px(6);
  const auto at = [&](Spot s) {
    const float x = (mesial_right ? 0.5f - s.first : s.first - 0.5f) * size;
    const float y = (cheek_up ? s.second - 0.5f : 0.5f - s.second) * size * slim;
    return ImVec2{cx + x, cy + y};
  };
  const float square = is_molar(tooth) ? 0.55f : 0.9f;  // exponent of the rounded outline
  list->PathClear();
  for (int i = 0; i < 40; ++i) {
    const float a = 6.2831853f * static_cast<float>(i) / 40, c = std::cos(a), s = std::sin(a);
    list->PathLineTo({cx + 0.5f * size * std::copysign(std::pow(std::abs(c), square), c),
                      cy + 0.5f * size * slim * std::copysign(std::pow(std::abs(s), square), s)});
  }
  list->PathStroke(t.soft, ImDrawFlags_Closed, px(1.5f));
  for (const Spot& s : cusps_of(tooth)) list->AddCircle(at(s), px(4), t.line, 16, px(1));
  if (cusps_of(tooth).empty()) list->AddLine(at({0.12f, 0.38f}), at({0.88f, 0.38f}), t.line, px(2));
  const ImVec2 p = at(spot_of(landmark.substr(dot + 1)));
  list->AddCircleFilled(p, px(5), t.accent);
  list->AddCircle(p, px(9), t.accent, 24, px(1.5f));
  ui::put_text(list, fonts().small, r.x, r.y, t.soft, std::to_string(tooth));
}

}  // namespace intercusp
