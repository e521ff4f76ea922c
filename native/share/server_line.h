// A connection from this program to a review server.
#pragma once

#include <memory>
#include <string>

#include "base/result.h"

namespace intercusp::share {

struct ServerAddress {
  bool tls = false;
  std::string host, port;  ///< "clinic.example", "443"; an IPv6 address without brackets
  std::string prefix;      ///< what stands before "review/", with a slash at both ends

  /// What is looked up: this machine has the name localhost also where no hosts file and no name server says so (RFC
  /// 6761, 6.3).
  std::string looked_up() const { return host == "localhost" ? "127.0.0.1" : host; }
};

/// "http://host[:port]/[path/]" or https. Plain http is taken for this machine alone: tokens and case would be seen.
Result<ServerAddress> parse_server_address(const std::string& url);

struct ServerReply {
  unsigned status = 0;
  std::string body;
};

/// The answer's body when its status is one of success; else an Error in the server's words.
Result<std::string> body_or_refusal(ServerReply reply);

struct ServerRequest {
  std::string method, path;  ///< path below "review/"
  std::string token;         ///< bytes; empty: none is shown
  std::string body;          ///< sent when not empty, or for POST, PUT and PATCH
  std::string entry;         ///< id as text; empty: no such header
  bool may_repeat = true;    ///< whether it may be sent again when the line broke
};

/// One line, kept open between requests and opened again when it broke. Waits at most a minute for anything.
class ServerLine {
 public:
  /// `trusted`: a PEM file of certificates to trust beside the system's; empty: none.
  static Result<std::unique_ptr<ServerLine>> open(const ServerAddress& address, const std::string& trusted);
  virtual ~ServerLine() = default;
  /// The server's answer, whatever its status. Errors: no answer.
  virtual Result<ServerReply> ask(const ServerRequest& request) = 0;
  /// The answer's body when the status is one of success; else an Error in the server's words.
  Result<std::string> must(const ServerRequest& request);
};

}  // namespace intercusp::share
