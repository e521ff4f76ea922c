#pragma once

#include <string>

namespace intercusp {

/// The text of docs/methods.md (Markdown), from the measure table and the definitions that all measures share. A test
/// holds the committed page to it.
std::string methods_page();

}  // namespace intercusp
