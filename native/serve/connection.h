#pragma once

#include <memory>
#include <optional>

#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http/empty_body.hpp>
#include <boost/beast/http/parser.hpp>
#include <boost/beast/http/serializer.hpp>
#include <boost/beast/http/string_body.hpp>

#include "serve/http_answer.h"
#include "serve/shared_parts.h"
#include "serve/wire_stream.h"

namespace intercusp::serve {

/// One HTTP/1.1 connection: reads a request, answers it from the site or the review server, reads the next. Bounded in
/// the size of header and body and in time. A room takes the connection over.
class Connection : public Client, public std::enable_shared_from_this<Connection> {
 public:
  /// `ticket` counts the connection for as long as it lives.
  Connection(boost::asio::ip::tcp::socket socket, SharedParts& parts, Quota::Ticket ticket);

  void start();
  void finish() override;
  std::optional<SteadyTime> idle_since() const override;

 private:
  void read();
  void on_header(boost::system::error_code failed);
  void on_request();
  void on_review_request();
  void enter_room(const ReviewRequest& request);
  void read_body(const ReviewRequest& request);
  void on_body(const ReviewRequest& request, boost::system::error_code failed);
  void answer_review(const ReviewRequest& request, std::string body);
  void write_review(HttpAnswer answer);
  bool has_body() const;
  /// Whoever asks, as far as it is known behind a proxy.
  AddressKey asking_address() const;

  void write(HttpAnswer answer, bool keep_alive);
  void write_part(std::string part);
  void write_more();
  void on_written(boost::system::error_code failed);
  void close();
  void drain();

  using Parser = boost::beast::http::request_parser<boost::beast::http::string_body>;
  struct Writing;

  WireStream stream_;
  SharedParts& parts_;
  Quota::Ticket ticket_;
  boost::beast::flat_buffer buffer_;
  std::optional<Parser> parser_;
  std::shared_ptr<Writing> writing_;
  Quota::Ticket body_;  ///< counts the body that is on its way in or out
  AddressKey asking_{};
  std::size_t drained_ = 0;
  bool keep_alive_ = false;
  bool answering_ = false;
  SteadyTime idle_since_;
};

}  // namespace intercusp::serve
