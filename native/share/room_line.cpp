#include "share/room_line.h"

#include <deque>
#include <optional>
#include <thread>

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/post.hpp>
#include <boost/beast/core/buffers_to_string.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/websocket/stream.hpp>

#include "serve/wire_stream.h"
#include "share/client_tls.h"

namespace intercusp::share {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace websocket = beast::websocket;
using ErrorCode = boost::system::error_code;

constexpr auto kReachPatience = std::chrono::seconds(20);
constexpr std::size_t kMostWaitingBytes = 256u << 10, kLargestMessage = 4u << 20;

}  // namespace

class RoomLine::Wire {
 public:
  Wire(const ServerAddress& server, const std::string& path, std::string greeting, Hears hears)
      : server_(server), target_(server.prefix + "review/" + path + "/room"), hears_(std::move(hears)) {
    waiting_.push_back(std::move(greeting));
    auto tls = client_tls(server_, {});
    if (tls) tls_ = std::move(tls).value();
    asio::post(context_, [this] { connect(); });
    thread_ = std::thread([this] { context_.run(); });
  }
  ~Wire() {
    context_.stop();
    thread_.join();
  }

  void send(std::string bytes) {
    asio::post(context_, [this, bytes = std::move(bytes)]() mutable {
      std::size_t before = 0;
      for (const std::string& one : waiting_) before += one.size();
      if (before + bytes.size() > kMostWaitingBytes || !open_) return;
      waiting_.push_back(std::move(bytes));
      if (waiting_.size() == 1) write();
    });
  }

 private:
  void connect() {
    if (server_.tls && !tls_) return end();
    ErrorCode failed;
    const auto found = asio::ip::tcp::resolver(context_).resolve(server_.looked_up(), server_.port, failed);
    if (failed) return end();
    stream_.emplace(asio::ip::tcp::socket(context_), tls_.get());
    beast::tcp_stream& tcp = stream_->next_layer().tcp();
    tcp.expires_after(kReachPatience);
    tcp.async_connect(found, [this](ErrorCode wrong, const auto&) {
      if (wrong) return end();
      ErrorCode ignored;
      stream_->next_layer().tcp().socket().set_option(asio::ip::tcp::no_delay(true), ignored);
      stream_->next_layer().shake_hands_with(server_.host, [this](ErrorCode untrusted) {
        if (untrusted) return end();
        upgrade();
      });
    });
  }

  void upgrade() {
    stream_->next_layer().tcp().expires_never();  // the WebSocket has its own patience
    stream_->set_option(websocket::stream_base::timeout::suggested(beast::role_type::client));
    stream_->read_message_max(kLargestMessage);
    stream_->async_handshake(server_.host, target_, [this](ErrorCode failed) {
      if (failed) return end();
      open_ = true;
      stream_->binary(true);
      write();
      read();
    });
  }

  void read() {
    stream_->async_read(buffer_, [this](ErrorCode failed, std::size_t) {
      if (failed) return end();
      std::string message = beast::buffers_to_string(buffer_.data());
      buffer_.consume(buffer_.size());
      (stream_->got_text() ? hears_.words : hears_.bytes)(std::move(message));
      read();
    });
  }

  void write() {
    stream_->async_write(asio::buffer(waiting_.front()), [this](ErrorCode failed, std::size_t) {
      if (failed) return end();
      waiting_.pop_front();
      if (!waiting_.empty()) write();
    });
  }

  void end() {
    open_ = false;
    if (ended_) return;
    ended_ = true;
    hears_.ended();
  }

  const ServerAddress server_;
  const std::string target_;
  const Hears hears_;
  std::unique_ptr<asio::ssl::context> tls_;
  asio::io_context context_{1};
  std::optional<websocket::stream<serve::WireStream>> stream_;
  beast::flat_buffer buffer_;
  std::deque<std::string> waiting_;  // the first is being written
  bool open_ = false, ended_ = false;
  std::thread thread_;
};

RoomLine::RoomLine(const ServerAddress& server, const std::string& path, std::string greeting, Hears hears)
    : wire_(std::make_unique<Wire>(server, path, std::move(greeting), std::move(hears))) {}

RoomLine::~RoomLine() = default;

void RoomLine::send(std::string bytes) {
  wire_->send(std::move(bytes));
}

}  // namespace intercusp::share
