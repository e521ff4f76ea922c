#pragma once

#include <algorithm>
#include <chrono>
#include <cstddef>
#include <functional>
#include <memory>
#include <optional>
#include <vector>

#include <boost/asio/ip/address.hpp>
#include <boost/asio/ssl/context.hpp>

#include "serve/limits.h"
#include "serve/review_api.h"
#include "serve/site.h"

namespace intercusp::serve {

constexpr std::size_t kMostConnections = 20000;
constexpr std::size_t kMostBodyBytes = 256u << 20;  ///< bodies on their way in or out, all together

/// How long the server waits for a side that says nothing: all of it follows from one number.
struct Patience {
  std::chrono::seconds quiet{30};  ///< for a header to arrive, an idle connection to stay, one frame of a room to leave

  std::chrono::seconds body() const { return 4 * quiet; }  ///< for a body to arrive, or an answer to leave
  std::chrono::seconds room() const { return 2 * quiet; }  ///< until a silent side of a room is let go; a ping at half
  std::chrono::seconds greeting() const { return std::min(quiet, std::chrono::seconds(10)); }
  std::chrono::seconds tick() const { return std::min(quiet, std::chrono::seconds(5)); }
};

/// Somebody connected, as the server sees them.
class Client {
 public:
  virtual ~Client() = default;
  /// Ends after what is under way, or now when there is nothing.
  virtual void finish() = 0;
  /// Since when nothing has been asked; nothing while something is under way, and for rooms.
  virtual std::optional<SteadyTime> idle_since() const { return std::nullopt; }
};

/// What all connections of a server share. Used by the network's thread alone.
struct SharedParts {
  explicit SharedParts(const Site& served) : site(served) {}

  const Site& site;
  ReviewApi* review = nullptr;                     ///< null without a store
  std::unique_ptr<boost::asio::ssl::context> tls;  ///< null: plain
  std::vector<boost::asio::ip::address> proxies;   ///< whose X-Forwarded-For is believed
  Pace pace{0};
  Patience patience;
  std::shared_ptr<Quota> bodies = std::make_shared<Quota>(kMostBodyBytes, kMostBodyBytes / 2);
  std::function<void(const std::shared_ptr<Client>&)> adopt;  ///< who becomes another kind of client says so
  bool stopping = false;
};

}  // namespace intercusp::serve
