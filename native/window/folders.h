#pragma once

#include <string>

namespace intercusp {

/// Where this program keeps things for this person (XDG Base Directory Specification 0.8); none of them is made here.
std::string settings_folder();  ///< $XDG_CONFIG_HOME/intercusp, else ~/.config/intercusp
std::string work_folder();      ///< $XDG_STATE_HOME/intercusp/work, else ~/.local/state/intercusp/work
std::string files_folder();     ///< ~/Intercusp: finished files of a case that has no folder of its own

/// A file name without anything that could lead out of its folder or hide it; never empty.
std::string safe_file_name(const std::string& text);

}  // namespace intercusp
