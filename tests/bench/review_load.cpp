// Many rooms on a review server, of which some are busy: how long a pose takes to the other side, and what a room
// costs.
//   review_load PORT SERVER_PID [ROOMS 2000] [BUSY 200] [PER_SECOND 10] [SECONDS 20]
// The server: intercusp serve --store DIR --per-address 0. Client and server share the machine.
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <memory>
#include <string>
#include <vector>

#include <sys/resource.h>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http.hpp>
#include <boost/beast/websocket.hpp>
#include <nlohmann/json.hpp>

#include "base/base64.h"
#include "base/sha256.h"
#include "review/crypto.h"

namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = beast::http;
using asio::ip::tcp;
using Clock = std::chrono::steady_clock;
using namespace intercusp;

constexpr std::size_t kPoseBytes = 300;  // of ciphertext: a pose, who, where they look

struct Load {
  unsigned short port = 0;
  int pid = 0, rooms = 2000, busy = 200, per_second = 10, seconds = 20;
};

std::string random(std::size_t size) {
  return secrets::random_bytes(size).value();
}

/// Resident memory of a process in kB.
long resident_kb(int pid) {
  std::ifstream status("/proc/" + std::to_string(pid) + "/status");
  for (std::string line; std::getline(status, line);) {
    if (line.rfind("VmRSS:", 0) == 0) return std::atol(line.c_str() + 6);
  }
  return 0;
}

struct Folder {
  std::string name, read;
};

std::vector<Folder> make_folders(asio::io_context& context, const Load& load) {
  beast::tcp_stream stream(context);
  stream.connect(tcp::endpoint(asio::ip::address_v4::loopback(), load.port));
  beast::flat_buffer buffer;
  std::vector<Folder> folders;
  for (int i = 0; i < load.rooms; ++i) {
    Folder folder{{}, random(32)};
    const std::string hash = sha256_hex(folder.read.data(), folder.read.size());
    http::request<http::string_body> request(http::verb::post, "/review/folders", 11);
    request.set(http::field::host, "localhost");
    request.body() = nlohmann::json{{"read", hash}, {"write", hash}, {"own", hash}, {"days", 1}}.dump();
    request.prepare_payload();
    http::write(stream, request);
    http::response<http::string_body> response;
    http::read(stream, buffer, response);
    folder.name = nlohmann::json::parse(response.body()).value("folder", "");
    if (folder.name.empty()) std::fprintf(stderr, "no folder: %s\n", response.body().c_str());
    folders.push_back(folder);
  }
  return folders;
}

struct Measured {
  std::vector<double> latencies_ms;
  long sent = 0, entered = 0, failed = 0;
};

/// One participant: enters, sends poses when its room is busy, and notes how old those of the other side are.
class Participant : public std::enable_shared_from_this<Participant> {
 public:
  Participant(asio::io_context& context, const Load& load, Measured& measured)
      : socket_(context), timer_(context), load_(load), measured_(measured), session_(random(16)) {}

  void enter(const Folder& folder) {
    beast::get_lowest_layer(socket_).connect(tcp::endpoint(asio::ip::address_v4::loopback(), load_.port));
    beast::get_lowest_layer(socket_).set_option(tcp::no_delay(true));
    socket_.handshake("localhost", "/review/folders/" + folder.name + "/room");
    socket_.binary(true);
    socket_.write(asio::buffer(folder.read + session_));
    socket_.read(buffer_);
    buffer_.clear();
    ++measured_.entered;
    read();
  }

  void talk(Clock::time_point first, Clock::time_point end) {
    next_ = first;
    end_ = end;
    wait();
  }

 private:
  void wait() {
    timer_.expires_at(next_);
    timer_.async_wait([self = shared_from_this()](beast::error_code failed) {
      if (!failed && Clock::now() < self->end_) self->send();
    });
  }

  void send() {
    frame_ =
        "\x01" + session_ + "\x01\x03" + std::string(12, 'n') + std::string(kPoseBytes, 'p') + std::string(16, 't');
    const auto now = Clock::now().time_since_epoch().count();
    std::memcpy(frame_.data() + 40, &now, sizeof now);
    socket_.async_write(asio::buffer(frame_), [self = shared_from_this()](beast::error_code failed, std::size_t) {
      if (failed) {
        ++self->measured_.failed;
        return;
      }
      ++self->measured_.sent;
      self->next_ += std::chrono::microseconds(1000000 / self->load_.per_second);
      self->wait();
    });
  }

  void read() {
    socket_.async_read(buffer_, [self = shared_from_this()](beast::error_code failed, std::size_t size) {
      if (failed) return;
      const auto now = Clock::now();
      if (size > 48) {
        Clock::rep sent = 0;
        std::memcpy(&sent, static_cast<const char*>(self->buffer_.data().data()) + 40, sizeof sent);
        const Clock::duration age = now.time_since_epoch() - Clock::duration(sent);
        self->measured_.latencies_ms.push_back(std::chrono::duration<double, std::milli>(age).count());
      }
      self->buffer_.clear();
      self->read();
    });
  }

  beast::websocket::stream<tcp::socket, false> socket_;
  asio::steady_timer timer_;
  beast::flat_buffer buffer_;
  const Load& load_;
  Measured& measured_;
  std::string session_, frame_;
  Clock::time_point next_, end_;
};

void report(const Load& load, Measured& measured, long before_kb, long idle_kb, long busy_kb) {
  std::vector<double>& ms = measured.latencies_ms;
  std::sort(ms.begin(), ms.end());
  const auto at = [&](double part) { return ms.empty() ? -1 : ms[static_cast<std::size_t>(part * (ms.size() - 1))]; };
  std::printf("%d rooms, %ld participants entered; %d rooms busy, %d poses a second each way, %d s\n", load.rooms,
              measured.entered, load.busy, load.per_second, load.seconds);
  std::printf("sent %ld, arrived %zu, failed %ld\n", measured.sent, ms.size(), measured.failed);
  std::printf("relay ms: median %.2f, 99%% %.2f, 99.9%% %.2f, worst %.2f\n", at(0.5), at(0.99), at(0.999), at(1));
  std::printf("server memory kB: %ld before, %ld with idle rooms (%.1f a room), %ld when busy\n", before_kb, idle_kb,
              static_cast<double>(idle_kb - before_kb) / load.rooms, busy_kb);
}

}  // namespace

int main(int count, char** arguments) {
  if (count < 3) {
    std::fprintf(stderr, "usage: review_load PORT SERVER_PID [ROOMS] [BUSY] [PER_SECOND] [SECONDS]\n");
    return 2;
  }
  Load load;
  int* const numbers[] = {&load.pid, &load.rooms, &load.busy, &load.per_second, &load.seconds};
  load.port = static_cast<unsigned short>(std::atoi(arguments[1]));
  for (int i = 2; i < std::min(count, 7); ++i) *numbers[i - 2] = std::atoi(arguments[i]);
  rlimit files{};
  getrlimit(RLIMIT_NOFILE, &files);
  files.rlim_cur = files.rlim_max;
  setrlimit(RLIMIT_NOFILE, &files);

  asio::io_context context(1);
  Measured measured;
  const std::vector<Folder> folders = make_folders(context, load);
  const long before_kb = resident_kb(load.pid);
  std::vector<std::shared_ptr<Participant>> participants;
  for (const Folder& folder : folders) {
    for (int side = 0; side < 2; ++side) {
      participants.push_back(std::make_shared<Participant>(context, load, measured));
      participants.back()->enter(folder);
    }
  }
  context.run_for(std::chrono::seconds(1));
  const long idle_kb = resident_kb(load.pid);
  const auto begin = Clock::now() + std::chrono::milliseconds(200);
  const int talking = 2 * std::min(load.busy, load.rooms);
  for (int i = 0; i < talking; ++i) {
    const auto phase = std::chrono::microseconds(1000000ll * i / load.per_second / talking);
    participants[static_cast<std::size_t>(i)]->talk(begin + phase, begin + std::chrono::seconds(load.seconds));
  }
  context.run_for(std::chrono::seconds(load.seconds) + std::chrono::seconds(1));
  report(load, measured, before_kb, idle_kb, resident_kb(load.pid));
  return measured.failed == 0 ? 0 : 1;
}
