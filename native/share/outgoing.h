// A case on its way to a server that has not seen it: fresh secrets, a folder, bodies in sealed pieces.
#pragma once

#include <cstdint>
#include <functional>
#include <string>

#include <nlohmann/json_fwd.hpp>

#include "base/result.h"
#include "review/review_link.h"
#include "share/server_line.h"

namespace intercusp::share {

/// The answer's body, or an Error in the server's words.
using Asks = std::function<Result<std::string>(const ServerRequest&)>;

/// Everything that one sharing needs.
struct Outgoing {
  secrets::ReviewLink link;  ///< without the server
  secrets::ReviewKeys keys;
  secrets::ChangeKeys change;
  std::string own_secret, own_token;
};

Result<Outgoing> fresh_secrets();

struct FolderTokens {
  std::string read, write, own;  ///< bytes
};
struct MadeFolder {
  std::string folder;
  std::int64_t ends_ms = 0;  ///< since 1970
};
/// Makes room on the server.
Result<MadeFolder> make_folder(const Asks& asks, const FolderTokens& tokens, int days);
/// Makes room for the case and writes its name into the link; gives when it ends, ms since 1970.
Result<std::int64_t> make_folder(const Asks& asks, Outgoing& out, int days);

/// Sends a body's file; gives {"name", "pieces", "length", "sha256"}, as the beginning names it. `sent` hears after
/// each piece how many bytes are there, and says whether to go on.
Result<nlohmann::json> send_body(const Asks& asks, const Outgoing& out, const std::string& name,
                                 const std::string& bytes, const std::function<bool(std::size_t)>& sent);

}  // namespace intercusp::share
