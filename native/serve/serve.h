#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace intercusp {

struct ServeOptions {
  std::uint16_t port = 8080;  ///< 0 takes any free one and says which
  /// Addresses to listen on; by default only this machine can connect.
  std::vector<std::string> addresses = {"127.0.0.1", "::1"};
  std::string site;  ///< folder of the web program; empty = found beside the program (build/web/site)
};

/// Serves the web program until SIGINT or SIGTERM. Prints the address on standard output once connections are accepted,
/// and errors on standard error. Returns the exit code: 0 after a signal, 2 when it could not start.
int run_serve(const ServeOptions& options);

}  // namespace intercusp
