#include "serve/server.h"

#include <algorithm>
#include <chrono>

#include <boost/asio/ip/v6_only.hpp>

#include <sys/resource.h>

#include "serve/connection.h"

namespace intercusp::serve {
namespace {

namespace asio = boost::asio;
using asio::ip::tcp;
using ErrorCode = boost::system::error_code;

constexpr auto kPauseWithoutSockets = std::chrono::milliseconds(200);
constexpr std::size_t kFilesBeside = 64;  // the store's, the listeners', the standard ones

/// Raises the process's limit of open files as far as it may, and says how many connections that allows.
std::size_t connections_allowed() {
  rlimit files{};
  if (::getrlimit(RLIMIT_NOFILE, &files) != 0) return 256;
  const rlim_t wanted = kMostConnections + kFilesBeside;
  if (files.rlim_cur < wanted) {
    files.rlim_cur = std::min(wanted, files.rlim_max);
    ::setrlimit(RLIMIT_NOFILE, &files);
    ::getrlimit(RLIMIT_NOFILE, &files);
  }
  const std::size_t have = static_cast<std::size_t>(std::min(files.rlim_cur, wanted));
  return have > 2 * kFilesBeside ? have - kFilesBeside : kFilesBeside;
}

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

}  // namespace

Server::Server(asio::io_context& context, SharedParts& parts) : context_(context), parts_(parts), timer_(context) {
  const std::size_t most = connections_allowed();
  // All of a proxy's clients come from one address.
  places_ = std::make_shared<Quota>(most, parts_.proxies.empty() ? std::max<std::size_t>(most * 3 / 4, 1) : most);
  parts_.adopt = [this](const std::shared_ptr<Client>& client) { clients_.push_back(client); };
  tick();
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
    if (!failed) {
      took(std::move(socket));
      return accept(acceptor);
    }
    // No sockets left, most likely: trying again at once would only keep the processor busy.
    const auto pause = std::make_shared<asio::steady_timer>(context_, kPauseWithoutSockets);
    pause->async_wait([this, &acceptor, pause](const ErrorCode&) {
      if (acceptor.is_open()) accept(acceptor);
    });
  });
}

void Server::took(tcp::socket socket) {
  ErrorCode failed;
  const tcp::endpoint peer = socket.remote_endpoint(failed);
  if (failed) return;
  const AddressKey address = address_key(peer.address());
  Quota::Ticket ticket = places_->take(address, 1);
  if (!ticket) {
    make_place();
    ticket = places_->take(address, 1);
  }
  if (!ticket) return;  // closes the socket
  const auto connection = std::make_shared<Connection>(std::move(socket), parts_, std::move(ticket));
  clients_.push_back(connection);
  connection->start();
}

/// A twentieth of the idle ones at a time, so that a flood of connections does not sort them over and over.
void Server::make_place() {
  std::vector<std::pair<SteadyTime, std::shared_ptr<Client>>> idle;
  for (const auto& weak : clients_) {
    const auto client = weak.lock();
    const auto since = client ? client->idle_since() : std::nullopt;
    if (since) idle.emplace_back(*since, client);
  }
  const std::size_t count = std::min(idle.size(), idle.size() / 20 + 1);
  const auto older = [](const auto& a, const auto& b) { return a.first < b.first; };
  std::partial_sort(idle.begin(), idle.begin() + static_cast<std::ptrdiff_t>(count), idle.end(), older);
  for (std::size_t i = 0; i < count; ++i) idle[i].second->finish();
}

void Server::tick() {
  const SteadyTime now = std::chrono::steady_clock::now();
  clients_.remove_if([](const std::weak_ptr<Client>& client) { return client.expired(); });
  parts_.pace.forget_quiet(now);
  if (parts_.review) parts_.review->fanout().look_at_clock(now, wall_clock_ms());
  timer_.expires_after(parts_.patience.tick());
  timer_.async_wait([this](const ErrorCode& failed) {
    if (!failed) tick();
  });
}

void Server::stop() {
  ErrorCode ignored;
  parts_.stopping = true;
  timer_.cancel(ignored);
  for (const auto& acceptor : acceptors_) acceptor->close(ignored);
  const auto clients = std::move(clients_);
  clients_.clear();
  for (const auto& weak : clients) {
    if (const auto client = weak.lock()) client->finish();
  }
}

}  // namespace intercusp::serve
