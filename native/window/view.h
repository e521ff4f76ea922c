#pragma once

#include <string>

namespace intercusp {

/// The desktop program: opens a window on a case file or scan, or on the work kept last when `case_path` is empty.
/// Returns the exit code: 0 when the window was closed, 2 when the file or the window could not be opened (said on
/// standard error).
int run_view(const std::string& case_path);

}  // namespace intercusp
