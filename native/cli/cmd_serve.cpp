#include "cli/commands.h"
#include "serve/serve.h"

namespace intercusp::cli {

Run add_serve(CLI::App& app) {
  auto options = std::make_shared<ServeOptions>();
  app.add_option("--port", options->port, "port to listen on (default 8080; 0 takes any free one)")
      ->multi_option_policy(CLI::MultiOptionPolicy::TakeLast);
  app.add_option("--store", options->store, "folder for shared cases, made if it is not there (default: none are kept)")
      ->multi_option_policy(CLI::MultiOptionPolicy::TakeLast);
  app.add_option("--listen", options->addresses, "addresses to listen on (default: this machine only)")
      ->expected(1, -1);
  app.add_option("--site", options->site, "folder of the built web program (default: found beside the program)");
  app.add_option("--certificate", options->certificate, "certificate chain (PEM): serve by TLS");
  app.add_option("--key", options->key, "private key of the certificate (PEM)");
  app.add_option("--behind", options->proxies, "address of a reverse proxy in front, whose X-Forwarded-For is believed")
      ->expected(1, -1);
  app.add_option("--longest-days", options->longest_days, "most days that a shared case may last (default 365)")
      ->check(CLI::Range(1, 36500));
  app.add_option("--case-limit", options->folder_mb, "most MiB that one shared case may hold (default 1024)")
      ->check(CLI::Range(1, 1 << 20));
  app.add_option("--store-limit", options->store_mb, "most MiB that the store may hold (default 20480)")
      ->check(CLI::Range(1, 1 << 24));
  app.add_option("--grace", options->grace_s, "seconds from the end of a shared case to its erasure (default 600)")
      ->check(CLI::Range(0, 1 << 30));
  app.add_option(
         "--quiet", options->quiet_s,
         "seconds that a side may say nothing: an idle connection; a room twice, a body four times (default 30)")
      ->check(CLI::Range(1, 3600));
  app.add_option("--per-address", options->per_address,
                 "requests a second from one address in the long run (default 100; 0: no limit)")
      ->check(CLI::NonNegativeNumber);
  app.add_option("--back-up", options->back_up, "instead of serving: copy the store's present state into this file");
  return [options] { return run_serve(*options); };
}

}  // namespace intercusp::cli
