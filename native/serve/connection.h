#pragma once

#include <memory>
#include <optional>

#include <boost/asio/ip/tcp.hpp>
#include <boost/beast/core.hpp>
#include <boost/beast/http.hpp>

#include "serve/answer.h"

namespace intercusp {

/// One HTTP/1.1 connection: reads a request, answers it, reads the next. Bounded in header size, body (none) and time.
class Connection : public std::enable_shared_from_this<Connection> {
 public:
  Connection(boost::asio::ip::tcp::socket socket, const Site& site);

  void start() { read(); }
  /// Ends after the answer under way, or now when there is none.
  void finish();

 private:
  void read();
  void on_read(boost::beast::error_code failed);
  void write(Answer answer, unsigned version, bool keep_alive);
  void close();
  void drain();

  boost::beast::tcp_stream stream_;
  const Site& site_;
  boost::beast::flat_buffer buffer_;
  std::optional<boost::beast::http::request_parser<boost::beast::http::empty_body>> parser_;
  std::shared_ptr<void> response_;  ///< kept alive while it is written
  std::size_t drained_ = 0;
  bool answering_ = false;
  bool finishing_ = false;
};

}  // namespace intercusp
