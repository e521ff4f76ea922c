// A connection with or without TLS behind one type, so that everything above is compiled and written once.
#pragma once

#include <memory>
#include <string>
#include <utility>

#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/ssl/context.hpp>
#include <boost/asio/ssl/host_name_verification.hpp>
#include <boost/asio/ssl/stream.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/websocket/stream.hpp>
#include <boost/beast/websocket/teardown.hpp>

namespace intercusp::serve {

class WireStream {
 public:
  using executor_type = boost::beast::tcp_stream::executor_type;

  /// `tls` null: plain. It must outlive the stream.
  WireStream(boost::asio::ip::tcp::socket socket, boost::asio::ssl::context* tls)
      : tcp_(std::make_unique<boost::beast::tcp_stream>(std::move(socket))) {
    if (tls) tls_ = std::make_unique<Tls>(*tcp_, *tls);
  }

  executor_type get_executor() noexcept { return tcp_->get_executor(); }
  boost::beast::tcp_stream& tcp() { return *tcp_; }

  /// `then(error)`, at once when there is no TLS.
  template <class Then>
  void shake_hands(Then then) {
    if (!tls_) return then(boost::system::error_code());
    tls_->async_handshake(boost::asio::ssl::stream_base::server, std::move(then));
  }

  /// The same for the side that connects, which insists that the certificate is that of `host`.
  template <class Then>
  void shake_hands_with(const std::string& host, Then then) {
    if (!tls_) return then(boost::system::error_code());
    SSL_set_tlsext_host_name(tls_->native_handle(), host.c_str());
    boost::system::error_code ignored;
    tls_->set_verify_callback(boost::asio::ssl::host_name_verification(host), ignored);
    tls_->async_handshake(boost::asio::ssl::stream_base::client, std::move(then));
  }

  template <class Buffers, class Handler>
  void async_read_some(const Buffers& buffers, Handler&& handler) {
    if (tls_) {
      tls_->async_read_some(buffers, std::forward<Handler>(handler));
    } else {
      tcp_->async_read_some(buffers, std::forward<Handler>(handler));
    }
  }

  template <class Buffers, class Handler>
  void async_write_some(const Buffers& buffers, Handler&& handler) {
    if (tls_) {
      tls_->async_write_some(buffers, std::forward<Handler>(handler));
    } else {
      tcp_->async_write_some(buffers, std::forward<Handler>(handler));
    }
  }

  /// Says that nothing more comes; with TLS as TLS says it.
  template <class Handler>
  void async_say_end(boost::beast::role_type role, Handler&& handler) {
    if (tls_) {
      tls_->async_shutdown(std::forward<Handler>(handler));
    } else {
      boost::beast::websocket::async_teardown(role, tcp_->socket(), std::forward<Handler>(handler));
    }
  }

  bool has_tls() const { return tls_ != nullptr; }

 private:
  using Tls = boost::asio::ssl::stream<boost::beast::tcp_stream&>;
  std::unique_ptr<boost::beast::tcp_stream> tcp_;  // on the heap: TLS keeps a reference to it when this moves
  std::unique_ptr<Tls> tls_;
};

// What Beast's WebSocket asks of a stream, found by the type of its argument.
inline void beast_close_socket(WireStream& stream) {
  stream.tcp().close();
}

inline void teardown(boost::beast::role_type, WireStream& stream, boost::system::error_code& failed) {
  stream.tcp().socket().shutdown(boost::asio::ip::tcp::socket::shutdown_both, failed);
}

template <class Handler>
void async_teardown(boost::beast::role_type role, WireStream& stream, Handler&& handler) {
  stream.async_say_end(role, std::forward<Handler>(handler));
}

}  // namespace intercusp::serve
