#include "cli/case_access.h"
#include "cli/commands.h"
#include "serve/serve.h"

namespace intercusp::cli {

Run add_serve(CLI::App& app) {
  auto options = std::make_shared<ServeOptions>();
  auto store = std::make_shared<std::string>();
  app.add_option("--port", options->port, "port to listen on (default 8080; 0 takes any free one)");
  app.add_option("--store", *store, "folder for shared cases; this version shares by link alone and stores nothing");
  app.add_option("--listen", options->addresses, "addresses to listen on (default: this machine only)")
      ->expected(1, -1);
  app.add_option("--site", options->site, "folder of the built web program (default: found beside the program)");
  return [options, store] {
    if (!store->empty()) note("--store is not used yet: this version shares cases by link alone and stores nothing.");
    return run_serve(*options);
  };
}

}  // namespace intercusp::cli
