#include "serve/serve.h"

#include <algorithm>
#include <chrono>
#include <csignal>
#include <iostream>
#include <memory>
#include <optional>

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/v6_only.hpp>
#include <boost/asio/signal_set.hpp>

#include "serve/connection.h"

namespace intercusp {
namespace {

namespace asio = boost::asio;
using asio::ip::tcp;
using ErrorCode = boost::system::error_code;

constexpr std::size_t kMostConnections = 512;
constexpr auto kTimeToFinish = std::chrono::seconds(3);

/// Accepts connections on all addresses, on one thread.
class Server {
 public:
  Server(asio::io_context& context, const Site& site) : context_(context), site_(site) {}

  /// Starts listening; `port` 0 is replaced by the one the system chose.
  Status listen(const std::string& address, std::uint16_t& port);
  void stop();

 private:
  void accept(tcp::acceptor& acceptor);
  void took(tcp::socket socket);

  asio::io_context& context_;
  const Site& site_;
  std::vector<std::unique_ptr<tcp::acceptor>> acceptors_;
  std::vector<std::weak_ptr<Connection>> connections_;
};

Error cannot_listen(const std::string& address, std::uint16_t port, const ErrorCode& failed) {
  const std::string where = address + " port " + std::to_string(port);
  if (failed == asio::error::address_in_use) {
    return Error{"another program uses this port already", where, "stop it, or choose another port with --port"};
  }
  if (failed == asio::error::access_denied) {
    return Error{"this port needs more rights than this user has", where, "choose a port above 1023 with --port"};
  }
  return Error{"cannot listen here: " + failed.message(), where, "check --listen and --port"};
}

Status Server::listen(const std::string& address, std::uint16_t& port) {
  ErrorCode failed;
  const asio::ip::address parsed = asio::ip::make_address(address, failed);
  if (failed) return Error{"this is not an IP address", address, "name one, such as 127.0.0.1, ::1 or 0.0.0.0"};
  auto acceptor = std::make_unique<tcp::acceptor>(context_);
  const tcp::endpoint endpoint(parsed, port);
  acceptor->open(endpoint.protocol(), failed);
  if (!failed) acceptor->set_option(tcp::acceptor::reuse_address(true), failed);
  if (!failed && parsed.is_v6()) acceptor->set_option(asio::ip::v6_only(true), failed);
  if (!failed) acceptor->bind(endpoint, failed);
  if (!failed) acceptor->listen(asio::socket_base::max_listen_connections, failed);
  if (failed) return cannot_listen(address, port, failed);
  const tcp::endpoint chosen = acceptor->local_endpoint(failed);
  if (failed) return cannot_listen(address, port, failed);
  port = chosen.port();
  acceptors_.push_back(std::move(acceptor));
  accept(*acceptors_.back());
  return Done{};
}

void Server::accept(tcp::acceptor& acceptor) {
  acceptor.async_accept([this, &acceptor](const ErrorCode& failed, tcp::socket socket) {
    if (failed == asio::error::operation_aborted) return;
    if (!failed) took(std::move(socket));
    accept(acceptor);
  });
}

void Server::took(tcp::socket socket) {
  const auto gone = [](const std::weak_ptr<Connection>& c) { return c.expired(); };
  connections_.erase(std::remove_if(connections_.begin(), connections_.end(), gone), connections_.end());
  if (connections_.size() >= kMostConnections) return;  // closes the socket
  const auto connection = std::make_shared<Connection>(std::move(socket), site_);
  connections_.push_back(connection);
  connection->start();
}

void Server::stop() {
  ErrorCode ignored;
  for (const auto& acceptor : acceptors_) acceptor->close(ignored);
  for (const auto& weak : connections_) {
    if (const auto connection = weak.lock()) connection->finish();
  }
}

/// A machine without IPv6 still serves on IPv4: of the default addresses one suffices.
Status listen_on_all(Server& server, const ServeOptions& options, std::uint16_t& port) {
  const bool defaults = options.addresses == ServeOptions().addresses;
  std::optional<Error> first_error;
  std::size_t listening = 0;
  for (const std::string& address : options.addresses) {
    const Status status = server.listen(address, port);
    if (status) {
      ++listening;
    } else {
      if (!defaults || address == options.addresses.front()) return status.error();
      first_error = status.error();
    }
  }
  if (listening == 0) return first_error.value_or(Error{"no address to listen on", "--listen", "name one"});
  return Done{};
}

std::string shown_address(const ServeOptions& options, std::uint16_t port) {
  const std::string& first = options.addresses.front();
  const bool local = first == "127.0.0.1" || first == "::1" || first == "0.0.0.0" || first == "::";
  const std::string host = local ? "localhost" : first.find(':') != std::string::npos ? "[" + first + "]" : first;
  return "http://" + host + ":" + std::to_string(port) + "/";
}

int fail(const Error& error) {
  std::cerr << "intercusp serve: " << error.sentence() << "\n";
  return 2;
}

}  // namespace

int run_serve(const ServeOptions& options) {
  const std::string folder = options.site.empty() ? find_site() : options.site;
  if (folder.empty()) {
    return fail({"the web program was not found beside this program",
                 {},
                 "build it (preset web) or name its folder with --site"});
  }
  const Result<Site> site = Site::load(folder);
  if (!site) return fail(site.error());

  asio::io_context context(1);
  Server server(context, site.value());
  std::uint16_t port = options.port;
  const Status listening = listen_on_all(server, options, port);
  if (!listening) return fail(listening.error());

  bool stopping = false;
  asio::signal_set signals(context, SIGINT, SIGTERM);
  signals.async_wait([&](const ErrorCode&, int) {
    stopping = true;
    server.stop();
  });
  std::cout << "Intercusp is at " << shown_address(options, port) << " (Ctrl+C stops it)" << std::endl;
  while (!stopping) context.run_one();
  context.run_for(kTimeToFinish);  // answers under way
  return 0;
}

}  // namespace intercusp
