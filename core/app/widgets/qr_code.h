#pragma once

#include <string>
#include <vector>

namespace intercusp::ui {

/// The modules of a QR code (ISO/IEC 18004) that holds `text`, row by row, true = dark; empty where it does not fit.
struct QrModules {
  int side = 0;
  std::vector<bool> dark;
};
QrModules qr_modules(const std::string& text);

/// Draws it, dark on light in both themes with the quiet zone that the standard asks for, `size` device pixels wide.
void qr_code(const std::string& text, float size);

}  // namespace intercusp::ui
