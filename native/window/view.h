#pragma once

#include <string>

namespace intercusp {

struct ViewOptions {
  std::string case_path;   ///< a case file or scan; empty: the work kept last
  std::string link;        ///< to a shared case or of a sample; empty: none
  std::string server;      ///< where cases are shared from now on, kept as a setting; empty: as before
  std::string state_path;  ///< where to write what the window shows, as JSON (docs/page-interface.md); empty: nowhere
};

/// The desktop program: opens a window. Returns the exit code: 0 when the window was closed, 2 when the file or the
/// window could not be opened (said on standard error).
int run_view(const ViewOptions& options);

}  // namespace intercusp
