#include "app/widgets/qr_code.h"

#include <imgui.h>

#include <cmath>

extern "C" {
#include <qrcodegen.h>
}

namespace intercusp::ui {

namespace {
constexpr int kQuietZone = 4;  // modules on each side
}  // namespace

QrModules qr_modules(const std::string& text) {
  std::vector<std::uint8_t> code(qrcodegen_BUFFER_LEN_MAX), room(qrcodegen_BUFFER_LEN_MAX);
  const bool made = qrcodegen_encodeText(text.c_str(), room.data(), code.data(), qrcodegen_Ecc_LOW,
                                         qrcodegen_VERSION_MIN, qrcodegen_VERSION_MAX, qrcodegen_Mask_AUTO, true);
  QrModules out;
  if (!made) return out;
  out.side = qrcodegen_getSize(code.data());
  for (int y = 0; y < out.side; ++y)
    for (int x = 0; x < out.side; ++x) out.dark.push_back(qrcodegen_getModule(code.data(), x, y));
  return out;
}

void qr_code(const std::string& text, float size) {
  static std::string drawn;
  static QrModules modules;
  if (drawn != text) {
    drawn = text;
    modules = qr_modules(text);
  }
  if (modules.side == 0) return;
  const float step = std::max(1.0f, std::floor(size / static_cast<float>(modules.side + 2 * kQuietZone)));
  const float whole = step * static_cast<float>(modules.side + 2 * kQuietZone);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddRectFilled(at, {at.x + whole, at.y + whole}, IM_COL32_WHITE);
  for (int y = 0; y < modules.side; ++y) {
    for (int x = 0; x < modules.side; ++x) {
      if (!modules.dark[static_cast<std::size_t>(y * modules.side + x)]) continue;
      const float left = at.x + step * static_cast<float>(x + kQuietZone),
                  top = at.y + step * static_cast<float>(y + kQuietZone);
      list->AddRectFilled({left, top}, {left + step, top + step}, IM_COL32_BLACK);
    }
  }
  ImGui::Dummy({whole, whole});
}

}  // namespace intercusp::ui
