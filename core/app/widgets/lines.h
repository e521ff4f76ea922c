#pragma once

#include <string>

#include <imgui.h>

namespace intercusp::ui {

/// The words with line ends, each line at most `width` wide where its words allow. Lines end at spaces alone, and never
/// between a number and its unit. (The library also ends them within numbers, behind the point.)
std::string in_lines(ImFont* font, const std::string& words, float width);

}  // namespace intercusp::ui
