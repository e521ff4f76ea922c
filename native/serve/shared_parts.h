#pragma once

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
  std::shared_ptr<Quota> bodies = std::make_shared<Quota>(kMostBodyBytes, kMostBodyBytes / 2);
  std::function<void(const std::shared_ptr<Client>&)> adopt;  ///< who becomes another kind of client says so
  bool stopping = false;
};

}  // namespace intercusp::serve
