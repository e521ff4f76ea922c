#pragma once

#include <list>
#include <memory>
#include <string>
#include <vector>

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/steady_timer.hpp>

#include "base/result.h"
#include "serve/shared_parts.h"

namespace intercusp::serve {

/// Accepts connections on all addresses and knows who is connected. On one thread.
class Server {
 public:
  Server(boost::asio::io_context& context, SharedParts& parts);

  /// Starts listening; `port` 0 is replaced by the one the system chose.
  Status listen(const std::string& address, std::uint16_t& port);
  /// Accepts nobody any more; everybody ends after what is under way.
  void stop();

 private:
  void accept(boost::asio::ip::tcp::acceptor& acceptor);
  void took(boost::asio::ip::tcp::socket socket);
  /// Sends away those who have been idle for longest.
  void make_place();
  void tick();

  boost::asio::io_context& context_;
  SharedParts& parts_;
  std::vector<std::unique_ptr<boost::asio::ip::tcp::acceptor>> acceptors_;
  std::list<std::weak_ptr<Client>> clients_;
  std::shared_ptr<Quota> places_;
  boost::asio::steady_timer timer_;
};

}  // namespace intercusp::serve
