#include "serve/serve.h"

#include <chrono>
#include <csignal>
#include <iostream>
#include <memory>
#include <optional>

#include <boost/asio/io_context.hpp>
#include <boost/asio/signal_set.hpp>

#include "serve/retention.h"
#include "serve/server.h"
#include "serve/store/sqlite_store.h"
#include "serve/tls.h"

namespace intercusp {
namespace {

namespace asio = boost::asio;
using ErrorCode = boost::system::error_code;

constexpr auto kTimeToFinish = std::chrono::seconds(2);

/// A machine without IPv6 still serves on IPv4: of the default addresses one suffices.
Status listen_on_all(serve::Server& server, const ServeOptions& options, std::uint16_t& port) {
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
  return (options.certificate.empty() ? "http://" : "https://") + host + ":" + std::to_string(port) + "/";
}

/// The store with what answers from it. Declared in the order in which they need each other.
struct Reviewing {
  std::unique_ptr<serve::Fanout> fanout = serve::make_local_fanout();
  serve::StoreDesk desk;
  serve::GradedSets graded;
  serve::ReviewApi api;
  serve::Retention retention;

  Reviewing(asio::io_context& context, serve::ReviewStore store, std::string key, const ServeOptions& options)
      : desk(std::move(store), context),
        graded(std::move(key), context),
        api(desk, *fanout, graded, options.longest_days),
        retention(context, desk, *fanout, std::chrono::seconds(options.grace_s)) {
    retention.start();
  }
};

Status add_proxies(serve::SharedParts& parts, const std::vector<std::string>& names) {
  for (const std::string& name : names) {
    ErrorCode failed;
    const asio::ip::address address = asio::ip::make_address(name, failed);
    if (failed) return Error{"this is not an IP address", name, "name the proxy's, such as 127.0.0.1"};
    parts.proxies.push_back(address);
  }
  return Done{};
}

int fail(const Error& error) {
  std::cerr << "intercusp serve: " << error.sentence() << "\n";
  return 2;
}

int back_up(const ServeOptions& options) {
  const Status copied = serve::back_up_sqlite_store(options.store, options.back_up);
  if (!copied) return fail(copied.error());
  std::cout << "The store's present state is in " << options.back_up << std::endl;
  return 0;
}

/// Runs until a signal, then until what is under way has ended or two seconds have passed. Says where it is once it
/// would hear a signal.
void run_until_stopped(asio::io_context& context, serve::Server& server, Reviewing* reviewing,
                       const std::string& where) {
  bool stopping = false;
  asio::signal_set signals(context, SIGINT, SIGTERM);
  signals.async_wait([&](const ErrorCode&, int) {
    stopping = true;
    if (reviewing) reviewing->retention.stop();
    server.stop();
  });
  std::cout << "Intercusp is at " << where << " (Ctrl+C stops it)" << std::endl;
  while (!stopping) context.run_one();
  context.run_for(kTimeToFinish);
}

int run_with_site(const ServeOptions& options, const Site& site) {
  asio::io_context context(1);
  serve::SharedParts parts(site);
  parts.patience.quiet = std::chrono::seconds(options.quiet_s);
  parts.pace = serve::Pace(options.per_address);
  const Status proxies = add_proxies(parts, options.proxies);
  if (!proxies) return fail(proxies.error());
  auto tls = serve::load_tls(options.certificate, options.key);
  if (!tls) return fail(tls.error());
  parts.tls = std::move(tls).value();

  std::optional<Reviewing> reviewing;
  if (!options.store.empty()) {
    auto store = serve::open_sqlite_store(options.store, {options.folder_mb << 20, options.store_mb << 20});
    if (!store) return fail(store.error());
    auto key = serve::graded_key(options.store);
    if (!key) return fail(key.error());
    reviewing.emplace(context, std::move(store).value(), std::move(key).value(), options);
    parts.review = &reviewing->api;
  }
  serve::Server server(context, parts);
  std::uint16_t port = options.port;
  const Status listening = listen_on_all(server, options, port);
  if (!listening) return fail(listening.error());
  run_until_stopped(context, server, reviewing ? &*reviewing : nullptr, shown_address(options, port));
  return 0;
}

}  // namespace

int run_serve(const ServeOptions& options) {
  std::signal(SIGPIPE, SIG_IGN);
  std::signal(SIGXFSZ, SIG_IGN);  // a limit of file size is a full disk, not an end
  if (!options.back_up.empty()) return back_up(options);
  const std::string folder = options.site.empty() ? find_site() : options.site;
  if (folder.empty()) {
    return fail({"the web program was not found beside this program",
                 {},
                 "build it (preset web) or name its folder with --site"});
  }
  const Result<Site> site = Site::load(folder);
  if (!site) return fail(site.error());
  return run_with_site(options, site.value());
}

}  // namespace intercusp
