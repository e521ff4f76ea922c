#include "serve/connection.h"

#include <netinet/tcp.h>
#include <sys/socket.h>

#include <chrono>
#include <cstdio>
#include <ctime>

#include <boost/asio/write.hpp>
#include <boost/beast/http/chunk_encode.hpp>
#include <boost/beast/http/read.hpp>
#include <boost/beast/http/span_body.hpp>
#include <boost/beast/http/write.hpp>
#include <boost/beast/websocket/rfc6455.hpp>

#include "serve/room_member.h"
#include "serve/site_answer.h"
#include "serve/words.h"

namespace intercusp::serve {
namespace {

namespace beast = boost::beast;
namespace http = beast::http;

constexpr std::uint32_t kHeaderLimit = 16 * 1024;
constexpr std::size_t kDrainLimit = 2u << 20;  // a refused body may still be on its way
constexpr std::size_t kKeptBuffer = 4096;
constexpr std::size_t kQuestionBytes = 4u << 20;  ///< about what a question of a graded set takes on its way out
constexpr std::size_t kBodyReads = 64 * 1024;     ///< of a body at a time: small reads cost more than the disk

using SpanBody = http::span_body<const char>;

std::string text(beast::string_view view) {
  return {view.data(), view.size()};
}

/// RFC 9110 5.6.7, such as "Sun, 06 Nov 1994 08:49:37 GMT"; names are English whatever the locale.
std::string http_date(std::time_t when) {
  static const char* const days[] = {"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
  static const char* const months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                       "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  std::tm utc{};
  gmtime_r(&when, &utc);
  char line[64];
  std::snprintf(line, sizeof line, "%s, %02d %s %04d %02d:%02d:%02d GMT", days[utc.tm_wday], utc.tm_mday,
                months[utc.tm_mon], utc.tm_year + 1900, utc.tm_hour, utc.tm_min, utc.tm_sec);
  return line;
}

HttpAnswer too_large() {
  return refusal_answer(413, "The body of this request is larger than this server takes for it.");
}

/// Answer to a request that could not be read; status 0 when there is nobody to answer.
HttpAnswer answer_to_failure(beast::error_code failed) {
  if (failed == http::error::header_limit) return error_answer(431, "The request's header is larger than 16 KiB.");
  if (failed == http::error::body_limit) return too_large();
  const bool parsing = failed.category() == http::make_error_code(http::error::bad_method).category();
  if (parsing && failed != http::error::end_of_stream && failed != http::error::partial_message) {
    return error_answer(400, "The request is malformed.");
  }
  HttpAnswer none;
  none.status = 0;
  return none;
}

/// The last address that a list of forwarders names: the one that our own proxy saw.
std::string last_forwarded(const std::string& list) {
  const auto comma = list.rfind(',');
  const std::string last = comma == std::string::npos ? list : list.substr(comma + 1);
  const auto first = last.find_first_not_of(" \t");
  if (first == std::string::npos) return {};
  return last.substr(first, last.find_last_not_of(" \t") - first + 1);
}

}  // namespace

/// A response on its way, with everything that its bytes belong to.
struct Connection::Writing {
  HttpAnswer answer;
  http::response<SpanBody> response;
  http::response_serializer<SpanBody> serializer{response};
  std::string part;  ///< of a body in parts
};

Connection::Connection(boost::asio::ip::tcp::socket socket, SharedParts& parts, Quota::Ticket ticket)
    : stream_(std::move(socket), parts.tls.get()),
      parts_(parts),
      ticket_(std::move(ticket)),
      buffer_(kHeaderLimit + kBodyReads),
      idle_since_(std::chrono::steady_clock::now()) {
  beast::error_code ignored;
  stream_.tcp().socket().set_option(boost::asio::ip::tcp::no_delay(true), ignored);
  // The system would take megabytes for a side that does not read: with this it is our quota that counts them.
  const int most_unsent = 128 << 10;
  ::setsockopt(stream_.tcp().socket().native_handle(), IPPROTO_TCP, TCP_NOTSENT_LOWAT, &most_unsent,
               sizeof most_unsent);
}

void Connection::start() {
  stream_.tcp().expires_after(parts_.patience.quiet);
  stream_.shake_hands([self = shared_from_this()](beast::error_code failed) {
    if (!failed) self->read();
  });
}

void Connection::finish() {
  if (!answering_) stream_.tcp().close();
}

std::optional<SteadyTime> Connection::idle_since() const {
  return answering_ ? std::nullopt : std::optional<SteadyTime>(idle_since_);
}

void Connection::read() {
  answering_ = false;
  idle_since_ = std::chrono::steady_clock::now();
  body_.reset();
  if (buffer_.size() == 0 && buffer_.capacity() > kKeptBuffer) buffer_.shrink_to_fit();
  parser_.emplace();
  parser_->header_limit(kHeaderLimit);
  parser_->body_limit(kMostPieceBytes);
  stream_.tcp().expires_after(parts_.patience.quiet);
  http::async_read_header(
      stream_, buffer_, *parser_,
      [self = shared_from_this()](beast::error_code failed, std::size_t) { self->on_header(failed); });
}

void Connection::on_header(beast::error_code failed) {
  answering_ = true;
  if (failed) {
    HttpAnswer answer = answer_to_failure(failed);
    if (answer.status == 0) return close();
    return write(std::move(answer), false);
  }
  keep_alive_ = parser_->get().keep_alive();
  asking_ = asking_address();
  if (parser_->get().version() >= 11 && parser_->get().count(http::field::host) != 1) {
    return write(error_answer(400, "The request must name its host once."), false);
  }
  if (!parts_.pace.take(asking_, Pace::request, std::chrono::steady_clock::now())) {
    return write(refusal_answer(429, kTooManyWords), false);
  }
  on_request();
}

bool Connection::has_body() const {
  return parser_->chunked() || parser_->content_length().value_or(0) > 0;
}

AddressKey Connection::asking_address() const {
  beast::error_code failed;
  const auto peer = const_cast<WireStream&>(stream_).tcp().socket().remote_endpoint(failed).address();
  for (const auto& proxy : parts_.proxies) {
    if (proxy != peer) continue;
    const auto& request = parser_->get();
    const auto said = boost::asio::ip::make_address(last_forwarded(text(request["X-Forwarded-For"])), failed);
    return address_key(failed ? peer : said);
  }
  return address_key(peer);
}

void Connection::on_request() {
  const auto& request = parser_->get();
  const auto target = request.target();
  if (is_review_address({target.data(), target.size()})) return on_review_request();
  if (has_body()) {
    return write(error_answer(413, "The web program's addresses take no request bodies."), false);
  }
  const SiteRequest asked{text(request.method_string()), text(request.target()),
                          text(request[http::field::accept_encoding]), text(request[http::field::if_none_match])};
  write(answer_for(parts_.site, asked), keep_alive_);
}

void Connection::on_review_request() {
  const auto& request = parser_->get();
  if (!parts_.review) {
    return write(refusal_answer(501, "This server keeps no shared cases: it was started without --store."),
                 !has_body());
  }
  // Browsers say so when the page of another site asks (Fetch Metadata): none has any business here.
  if (request["Sec-Fetch-Site"] == "cross-site") {
    return write(refusal_answer(403, "Only this server's own page may ask this."), false);
  }
  const std::string method = text(request.method_string()), target = text(request.target());
  const std::string token = text(request[http::field::authorization]), entry = text(request["Entry"]);
  const ReviewRequest asked = read_review_request(method, target, token, entry);
  const SteadyTime now = std::chrono::steady_clock::now();
  const bool makes = asked.call == ReviewCall::make_folder || asked.call == ReviewCall::make_graded;
  if (!parts_.pace.has(asking_, Pace::miss, now) || (makes && !parts_.pace.take(asking_, Pace::new_folder, now))) {
    return write(refusal_answer(429, kTooManyWords), false);
  }
  if (asked.call == ReviewCall::room && beast::websocket::is_upgrade(request)) return enter_room(asked);
  const auto reply = [self = shared_from_this()](HttpAnswer answer) { self->write_review(std::move(answer)); };
  parts_.review->admit(asked, reply, [self = shared_from_this(), asked] { self->read_body(asked); });
}

void Connection::enter_room(const ReviewRequest& request) {
  if (buffer_.size() > 0) return write(error_answer(400, "The request is malformed."), false);
  const auto upgrade = parser_->release();
  const auto member =
      std::make_shared<RoomMember>(std::move(stream_), parts_, request.folder, asking_, std::move(ticket_));
  parts_.adopt(member);
  member->start(upgrade);
}

void Connection::read_body(const ReviewRequest& request) {
  const std::size_t most = most_body_bytes(request.call);
  if (parser_->chunked() || (most > 0 && !parser_->content_length())) {
    return write(refusal_answer(411, "The request must say the length of its body."), false);
  }
  const std::size_t length = static_cast<std::size_t>(parser_->content_length().value_or(0));
  if (length > most) return write(too_large(), false);
  // What is asked for takes as much on its way out.
  const bool of_piece = request.call == ReviewCall::get_piece || request.call == ReviewCall::read_log;
  const std::size_t held = request.call == ReviewCall::graded_question ? kQuestionBytes
                           : of_piece                                  ? kMostPieceBytes
                                                                       : length;
  body_ = parts_.bodies->take(asking_, held);
  if (!body_) {
    HttpAnswer busy = refusal_answer(503, kBusyWords);
    busy.headers.emplace_back("Retry-After", "1");
    return write(std::move(busy), keep_alive_ && length == 0);
  }
  stream_.tcp().expires_after(parts_.patience.body());
  buffer_.reserve(std::max(buffer_.size(), std::min(length, kBodyReads)));
  const auto read_it = [self = shared_from_this(), request](beast::error_code failed, std::size_t) {
    if (failed) return self->close();
    http::async_read(self->stream_, self->buffer_, *self->parser_,
                     [self, request](beast::error_code wrong, std::size_t) { self->on_body(request, wrong); });
  };
  if (length > 0 && beast::iequals(parser_->get()[http::field::expect], "100-continue")) {
    static const std::string go_on = "HTTP/1.1 100 Continue\r\n\r\n";
    boost::asio::async_write(stream_, boost::asio::buffer(go_on), read_it);
  } else if (!parser_->is_done()) {
    read_it({}, 0);
  } else {
    answer_review(request, {});
  }
}

void Connection::on_body(const ReviewRequest& request, beast::error_code failed) {
  if (failed) return close();
  answer_review(request, std::move(parser_->get().body()));
}

void Connection::answer_review(const ReviewRequest& request, std::string body) {
  stream_.tcp().expires_never();  // the store takes the time it takes
  parts_.review->answer(request, std::move(body),
                        [self = shared_from_this()](HttpAnswer answer) { self->write_review(std::move(answer)); });
}

/// A connection whose request was answered before its body came carries no other.
void Connection::write_review(HttpAnswer answer) {
  if (answer.is_miss) parts_.pace.take(asking_, Pace::miss, std::chrono::steady_clock::now());
  write(std::move(answer), keep_alive_ && parser_->is_done());
}

void Connection::write(HttpAnswer answer, bool keep_alive) {
  keep_alive_ = keep_alive && !parts_.stopping;
  writing_ = std::make_shared<Writing>();
  writing_->answer = std::move(answer);
  const HttpAnswer& said = writing_->answer;
  const bool in_parts = static_cast<bool>(said.more);
  auto& response = writing_->response;
  response.result(said.status);
  response.version(parser_ && parser_->is_header_done() ? parser_->get().version() : 11);
  if (in_parts && response.version() < 11) keep_alive_ = false;  // the end of the connection ends the body
  for (const auto& [name, value] : said.headers) response.set(name, value);
  response.set(http::field::date, http_date(std::time(nullptr)));
  response.keep_alive(keep_alive_);
  stream_.tcp().expires_after(parts_.patience.body());
  const auto written = [self = shared_from_this()](beast::error_code failed, std::size_t) {
    if (!failed && self->writing_->answer.more) return self->write_part(std::move(self->writing_->answer.text));
    self->on_written(failed);
  };
  if (in_parts) {
    if (response.version() >= 11) response.chunked(true);
    return http::async_write_header(stream_, writing_->serializer, written);
  }
  if (said.sends_body) response.body() = SpanBody::value_type(said.body().data(), said.body().size());
  if (said.has_length && said.status != 304) response.content_length(said.body().size());
  http::async_write(stream_, writing_->serializer, written);
}

void Connection::write_part(std::string part) {
  writing_->part = std::move(part);
  stream_.tcp().expires_after(parts_.patience.body());
  const auto written = [self = shared_from_this(), last = writing_->part.empty()](beast::error_code failed,
                                                                                  std::size_t) {
    if (failed || last) return self->on_written(failed);
    self->write_more();
  };
  const auto bytes = boost::asio::buffer(writing_->part);
  if (writing_->response.version() < 11) {
    boost::asio::async_write(stream_, bytes, written);
  } else if (writing_->part.empty()) {
    boost::asio::async_write(stream_, http::make_chunk_last(), written);
  } else {
    boost::asio::async_write(stream_, http::make_chunk(boost::asio::const_buffer(bytes)), written);
  }
}

void Connection::write_more() {
  stream_.tcp().expires_never();
  writing_->answer.more([self = shared_from_this()](std::optional<std::string> part) {
    // Cut short, so that nobody takes the part for the whole.
    if (!part) return self->stream_.tcp().close();
    self->write_part(std::move(*part));
  });
}

void Connection::on_written(beast::error_code failed) {
  answering_ = false;
  writing_.reset();
  if (failed) return stream_.tcp().close();
  if (!keep_alive_ || parts_.stopping) return close();
  read();
}

void Connection::close() {
  body_.reset();
  beast::error_code ignored;
  stream_.tcp().expires_after(std::chrono::seconds(2));
  if (stream_.has_tls()) {
    // Says the end as TLS does, and waits no longer than above for the other side to say it too.
    return stream_.async_say_end(beast::role_type::server,
                                 [self = shared_from_this()](beast::error_code) { self->stream_.tcp().close(); });
  }
  stream_.tcp().socket().shutdown(boost::asio::ip::tcp::socket::shutdown_send, ignored);
  if (ignored || parts_.stopping) return stream_.tcp().close();
  buffer_.clear();
  drain();
}

/// Reads what the other side still sends: closing over unread bytes would take back the answer on its way.
void Connection::drain() {
  stream_.async_read_some(buffer_.prepare(4096),
                          [self = shared_from_this()](beast::error_code failed, std::size_t size) {
                            self->drained_ += size;
                            if (failed || self->drained_ > kDrainLimit) return self->stream_.tcp().close();
                            self->drain();
                          });
}

}  // namespace intercusp::serve
