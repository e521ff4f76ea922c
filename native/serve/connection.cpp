#include "serve/connection.h"

#include <chrono>
#include <cstdio>
#include <ctime>

namespace intercusp {
namespace {

namespace beast = boost::beast;
namespace http = beast::http;

constexpr auto kRequestTime = std::chrono::seconds(30);  // for a request to arrive, and an idle connection to stay
constexpr auto kAnswerTime = std::chrono::seconds(60);
constexpr std::uint32_t kHeaderLimit = 16 * 1024;
constexpr std::size_t kDrainLimit = 256 * 1024;

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

/// Answer to a request that could not be read; status 0 when there is nobody to answer.
Answer answer_to_failure(beast::error_code failed) {
  if (failed == http::error::header_limit) return error_answer(431, "The request's header is larger than 16 KiB.");
  if (failed == http::error::body_limit) return error_answer(413, "This server takes no request bodies.");
  const bool parsing = failed.category() == http::make_error_code(http::error::bad_method).category();
  if (parsing && failed != http::error::end_of_stream && failed != http::error::partial_message) {
    return error_answer(400, "The request is malformed.");
  }
  Answer none;
  none.status = 0;
  return none;
}

}  // namespace

Connection::Connection(boost::asio::ip::tcp::socket socket, const Site& site)
    : stream_(std::move(socket)), site_(site), buffer_(kHeaderLimit + 4096) {}

void Connection::finish() {
  finishing_ = true;
  if (!answering_) close();
}

void Connection::read() {
  parser_.emplace();
  parser_->header_limit(kHeaderLimit);
  parser_->body_limit(0);
  stream_.expires_after(kRequestTime);
  http::async_read(stream_, buffer_, *parser_,
                   [self = shared_from_this()](beast::error_code failed, std::size_t) { self->on_read(failed); });
}

void Connection::on_read(beast::error_code failed) {
  if (failed) {
    Answer answer = answer_to_failure(failed);
    if (answer.status == 0) return close();
    return write(std::move(answer), 11, false);
  }
  const auto& request = parser_->get();
  const Question question{text(request.method_string()), text(request.target()),
                          text(request[http::field::accept_encoding]), text(request[http::field::if_none_match])};
  if (request.version() >= 11 && request.count(http::field::host) != 1) {
    return write(error_answer(400, "The request must name its host once."), 11, false);
  }
  write(answer_for(site_, question), request.version(), request.keep_alive() && !finishing_);
}

void Connection::write(Answer answer, unsigned version, bool keep_alive) {
  answering_ = true;
  auto response =
      std::make_shared<http::response<http::string_body>>(static_cast<http::status>(answer.status), version);
  for (const auto& [name, value] : answer.headers) response->set(name, value);
  response->set(http::field::date, http_date(std::time(nullptr)));
  response->keep_alive(keep_alive);
  if (answer.sends_body) response->body() = answer.body();
  if (answer.status != 304) response->content_length(answer.body().size());
  response_ = response;
  stream_.expires_after(kAnswerTime);
  auto written = [self = shared_from_this(), keep_alive](beast::error_code failed, std::size_t) {
    self->answering_ = false;
    self->response_.reset();
    if (failed) return;
    if (!keep_alive || self->finishing_) return self->close();
    self->read();
  };
  http::async_write(stream_, *response, std::move(written));
}

void Connection::close() {
  beast::error_code ignored;
  stream_.socket().shutdown(boost::asio::ip::tcp::socket::shutdown_send, ignored);
  if (ignored || finishing_) return stream_.close();
  stream_.expires_after(std::chrono::seconds(2));
  buffer_.clear();
  drain();
}

/// Reads what the other side still sends: closing over unread bytes would take back the answer on its way.
void Connection::drain() {
  stream_.async_read_some(buffer_.prepare(4096),
                          [self = shared_from_this()](beast::error_code failed, std::size_t size) {
                            self->drained_ += size;
                            if (failed || self->drained_ > kDrainLimit) return self->stream_.close();
                            self->drain();
                          });
}

}  // namespace intercusp
