#ifdef INTERCUSP_WITH_WINDOW

#include "cli/commands.h"
#include "window/view.h"

namespace intercusp::cli {

Run add_view(CLI::App& app) {
  auto path = std::make_shared<std::string>();
  app.add_option("case", *path, "a case file to open");
  return [path] { return run_view(*path); };
}

}  // namespace intercusp::cli

#endif
