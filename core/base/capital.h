#pragma once

#include <string>

namespace intercusp {

/// With its first letter large, for the beginning of a line or sentence; letters of plain ASCII alone.
std::string capital(std::string words);

}  // namespace intercusp
