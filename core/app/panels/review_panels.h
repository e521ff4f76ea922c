// Pieces that several panels of a shared case draw.
#pragma once

#include <string>

#include "app/work/workspace.h"

namespace intercusp {

/// Name, role, and whether this is a shared computer.
void introduction_fields(Workspace& w);
/// How far a case is on its way to the server or from it, and a way to stop it.
void way_of_the_case(Workspace& w, const char* at_first);
/// "R. Falk, surgeon"; "somebody" without a name.
std::string person_words(const std::string& name, const std::string& role);
/// "2026-03-02 14:05" shortened to the hour where it was today.
std::string when_words(std::int64_t ms_since_1970, std::int64_t now_ms);

}  // namespace intercusp
