#ifdef INTERCUSP_WITH_WINDOW

#include "cli/commands.h"
#include "window/view.h"

namespace intercusp::cli {

Run add_view(CLI::App& app) {
  auto options = std::make_shared<ViewOptions>();
  app.add_option("case", options->case_path, "a case file to open");
  app.add_option("--link", options->link,
                 "a link to open, whole and in quotes: of a shared case, a sample or a set of questions");
  app.add_option("--server", options->server,
                 "the review server that cases are shared on from now on, as https://host/ (kept)");
  app.add_option("--state", options->state_path,
                 "keep a file with what the window shows, as JSON, for scripts and screen readers");
  return [options] { return run_view(*options); };
}

}  // namespace intercusp::cli

#endif
