#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "review/review_wire.h"
#include "share/sealed_copy.h"
#include "share/server_line.h"

namespace intercusp::share {

/// A case's folder on its server. With a copy it is read without a network, as it was last; what comes is kept in it.
class FolderLine {
 public:
  FolderLine(ServerAddress server, std::string folder, bool keeps_copy);

  /// Tokens (bytes) that the requests show; an empty one is not there.
  std::string read_token, write_token, own_token;

  /// When it ends, ms since 1970.
  Result<std::int64_t> about();
  Result<std::vector<secrets::LogFrame>> log(std::uint64_t after);
  Result<std::string> piece(const std::string& name);
  Status put_piece(const std::string& name, const std::string& sealed);
  /// Its number, once the entry is on the server's disk.
  Result<std::uint64_t> append(const secrets::LogFrame& entry);
  Result<std::int64_t> set_days(int days);
  /// Ends the link for changing.
  Status end_changing();
  Status remove();

  /// Any request below "review/", for what has no name here.
  Result<std::string> must(const ServerRequest& request);
  /// Of the last request; 0: no answer.
  unsigned status() const { return status_; }
  const std::optional<SealedCopy>& copy() const { return copy_; }
  const ServerAddress& server() const { return server_; }
  const std::string& path() const { return path_; }

 private:
  ServerAddress server_;
  std::string path_;
  std::optional<SealedCopy> copy_;
  std::unique_ptr<ServerLine> line_;
  unsigned status_ = 0;
  bool away_ = false;  // the server did not answer when the case was opened
};

}  // namespace intercusp::share
