#include "share/server_line.h"

#include <chrono>
#include <optional>

#include <boost/asio/connect.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/ssl/host_name_verification.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http/parser.hpp>
#include <boost/beast/http/read.hpp>
#include <boost/beast/http/string_body.hpp>
#include <boost/beast/http/write.hpp>

#include "base/base64.h"
#include "base/json_read.h"
#include "serve/wire_stream.h"
#include "share/client_tls.h"

namespace intercusp::share {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = beast::http;
using ErrorCode = boost::system::error_code;

constexpr auto kPatience = std::chrono::seconds(60);
constexpr std::uint64_t kLargestAnswer = 2ull << 30;
constexpr std::size_t kReads = 64 * 1024;  // small reads cost more than all else of a large answer

bool is_this_machine(const std::string& host) {
  return host == "localhost" || host == "127.0.0.1" || host == "::1";
}

class BeastLine : public ServerLine {
 public:
  BeastLine(const ServerAddress& address, std::unique_ptr<asio::ssl::context> tls)
      : address_(address), tls_(std::move(tls)) {}

  Status connect();
  Result<ServerReply> ask(const ServerRequest& request) override;

 private:
  std::optional<ServerReply> try_once(const ServerRequest& request, ErrorCode& failed);
  Error no_answer(const std::string& why) const {
    return {"the server does not answer: " + why, address_.host + ":" + address_.port,
            "look at the connection and the address, and try again"};
  }
  /// Runs one operation that was started, for as long as it may take.
  void run() {
    context_.restart();
    context_.run();
  }

  ServerAddress address_;
  std::unique_ptr<asio::ssl::context> tls_;
  asio::io_context context_{1};
  std::optional<serve::WireStream> stream_;
  beast::flat_buffer buffer_;
};

Status BeastLine::connect() {
  stream_.reset();
  buffer_.clear();
  ErrorCode failed;
  asio::ip::tcp::resolver resolver(context_);
  const auto found = resolver.resolve(address_.looked_up(), address_.port, failed);
  if (failed) return no_answer(failed.message());
  stream_.emplace(asio::ip::tcp::socket(context_), tls_.get());
  const auto note = [&failed](ErrorCode code, const auto&...) { failed = code; };
  stream_->tcp().expires_after(kPatience);
  stream_->tcp().async_connect(found, note);
  run();
  if (failed) return no_answer(failed.message());
  stream_->tcp().socket().set_option(asio::ip::tcp::no_delay(true), failed);
  stream_->tcp().expires_after(kPatience);
  stream_->shake_hands_with(address_.host, note);
  run();
  if (failed) return no_answer("its certificate is not trusted, or it speaks no TLS (" + failed.message() + ")");
  return Done{};
}

std::optional<ServerReply> BeastLine::try_once(const ServerRequest& request, ErrorCode& failed) {
  http::request<http::string_body> asked(http::string_to_verb(request.method),
                                         address_.prefix + "review/" + request.path, 11);
  asked.set(http::field::host, address_.host);
  if (!request.token.empty()) asked.set(http::field::authorization, "Bearer " + base64url(request.token));
  if (!request.entry.empty()) asked.set("Entry", request.entry);
  asked.body() = request.body;
  asked.prepare_payload();
  const auto note = [&failed](ErrorCode code, std::size_t) { failed = code; };
  stream_->tcp().expires_after(kPatience);
  http::async_write(*stream_, asked, note);
  run();
  if (failed) return std::nullopt;
  http::response_parser<http::string_body> parser;
  parser.body_limit(kLargestAnswer);
  parser.skip(request.method == "HEAD");
  stream_->tcp().expires_after(kPatience);
  buffer_.reserve(kReads);
  http::async_read(*stream_, buffer_, parser, note);
  run();
  if (failed) return std::nullopt;
  ServerReply reply{parser.get().result_int(), std::move(parser.get().body())};
  if (!parser.get().keep_alive()) stream_.reset();
  return reply;
}

Result<ServerReply> BeastLine::ask(const ServerRequest& request) {
  ErrorCode failed;
  for (int tries = 0; tries < 2; ++tries) {
    const bool fresh = !stream_;
    if (fresh) {
      const Status connected = connect();
      if (!connected) return connected.error();
    }
    failed = {};
    if (auto reply = try_once(request, failed)) return std::move(*reply);
    stream_.reset();  // a line that was kept may have been let go of meanwhile
    if (!request.may_repeat && fresh) break;
  }
  return no_answer(failed.message());
}

}  // namespace

Result<ServerAddress> parse_server_address(const std::string& url) {
  const Error bad{"this is no address of a server", url, "write it as https://host/ or http://localhost:8080/"};
  ServerAddress address;
  std::string rest;
  for (const auto& [scheme, tls] : {std::pair<std::string, bool>{"http://", false}, {"https://", true}}) {
    if (url.rfind(scheme, 0) != 0) continue;
    address.tls = tls;
    rest = url.substr(scheme.size());
  }
  const auto slash = rest.find('/');
  std::string authority = rest.substr(0, slash);
  address.prefix = slash == std::string::npos ? "/" : rest.substr(slash);
  if (address.prefix.find_first_of("?# \r\n") != std::string::npos) return bad;
  address.prefix.erase(address.prefix.rfind('/') + 1);
  const auto bracket = authority.rfind(']');
  const auto colon = authority.rfind(':');
  const bool has_port = colon != std::string::npos && (bracket == std::string::npos || colon > bracket);
  address.port = has_port ? authority.substr(colon + 1) : address.tls ? "443" : "80";
  if (has_port) authority.erase(colon);
  if (bracket != std::string::npos && authority.size() > 2) authority = authority.substr(1, bracket - 1);
  address.host = authority;
  if (address.host.empty() || address.host.find_first_of("@ \r\n") != std::string::npos ||
      address.port.find_first_not_of("0123456789") != std::string::npos || address.port.empty()) {
    return bad;
  }
  if (!address.tls && !is_this_machine(address.host)) {
    return Error{"over http:// the network would see who may do what", url, "use the server's https:// address"};
  }
  return address;
}

Result<std::unique_ptr<asio::ssl::context>> client_tls(const ServerAddress& address, const std::string& trusted) {
  if (!address.tls) return std::unique_ptr<asio::ssl::context>();
  auto tls = std::make_unique<asio::ssl::context>(asio::ssl::context::tls_client);
  ErrorCode failed;
  tls->set_default_verify_paths(failed);
  tls->set_verify_mode(asio::ssl::verify_peer, failed);
  SSL_CTX_set_min_proto_version(tls->native_handle(), TLS1_2_VERSION);
  if (!trusted.empty()) tls->load_verify_file(trusted, failed);
  if (failed) return Error{"this file holds no certificates to trust", trusted, "name a PEM file"};
  return tls;
}

Result<std::unique_ptr<ServerLine>> ServerLine::open(const ServerAddress& address, const std::string& trusted) {
  auto tls = client_tls(address, trusted);
  if (!tls) return tls.error();
  auto line = std::make_unique<BeastLine>(address, std::move(tls).value());
  const Status connected = line->connect();
  if (!connected) return connected.error();
  return std::unique_ptr<ServerLine>(std::move(line));
}

Result<std::string> ServerLine::must(const ServerRequest& request) {
  Result<ServerReply> reply = ask(request);
  if (!reply) return reply.error();
  return body_or_refusal(std::move(reply).value());
}

Result<std::string> body_or_refusal(ServerReply reply) {
  if (reply.status >= 200 && reply.status < 300) return std::move(reply.body);
  const Result<nlohmann::json> said = parse_json(reply.body.data(), reply.body.size());
  const std::string words = said ? text_at(said.value(), "error").value_or("") : "";
  return Error{words.empty() ? "the server answered " + std::to_string(reply.status) : words, "the server", {}};
}

}  // namespace intercusp::share
