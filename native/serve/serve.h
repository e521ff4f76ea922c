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

  std::string store;               ///< folder for shared cases; empty: none are kept
  std::string back_up;             ///< instead of serving: copy the store into this file
  int longest_days = 365;          ///< a shared case may be asked to last
  std::uint64_t folder_mb = 1024;  ///< most that one shared case may hold
  std::uint64_t store_mb = 20480;  ///< most that the store may hold
  unsigned grace_s = 600;          ///< between the end of a shared case and its erasure
  unsigned quiet_s = 30;           ///< patience with a side that says nothing; Patience
  double per_address = 100;        ///< requests a second from one address in the long run; 0: not limited

  std::string certificate, key;      ///< PEM files; empty: no TLS
  std::vector<std::string> proxies;  ///< addresses whose X-Forwarded-For is believed
};

/// Serves the web program, and shared cases when a store is named, until SIGINT or SIGTERM. Prints the address on
/// standard output once connections are accepted, and errors on standard error. Returns the exit code: 0 after a
/// signal, 2 when it could not start.
int run_serve(const ServeOptions& options);

}  // namespace intercusp
