// What a surface that comes from a file is in a case.
#pragma once

#include <string>
#include <vector>

#include "casebook/case.h"

namespace intercusp {

/// Bodies that a surface from a file can become, by name: arches, jaw bones, roots.
const std::vector<std::string>& surface_roles();

/// The role that a surface most likely has: by words in its file's name (upper, lower, maxill, mandib, bone, skull, ct,
/// root), by its size (no arch is longer than 85 mm: common practice, no source), and else by what the case lacks. A
/// guess, which a person can change. `extent_mm`: its longest side; not above 0 where its unit is not known yet.
std::string likely_role(const Case& c, std::string file_name, double extent_mm);

/// The same bodies with one renamed; what had that name gets the other's. Error when there is no such body or role.
Status change_role(Case& c, const std::string& body, const std::string& role);

}  // namespace intercusp
