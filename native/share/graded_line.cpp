#include "share/graded_line.h"

#include <chrono>
#include <thread>

#include <nlohmann/json.hpp>

#include "base/json_read.h"
#include "share/folder_line.h"

namespace intercusp::share {
namespace {

using nlohmann::json;

constexpr unsigned kBusy = 503;
constexpr int kMostAttempts = 6;

/// A class that begins together asks for much at once: the server says so, and is asked again a while later.
Result<std::string> posted(const std::string& server, const std::string& path, const json& body) {
  const auto address = parse_server_address(server);
  if (!address) return address.error();
  FolderLine line(address.value(), "", false);
  ServerRequest request;
  request.method = "POST";
  request.path = path;
  request.body = body.dump();
  for (int attempt = 1;; ++attempt) {
    auto answer = line.must(request);
    if (answer || line.status() != kBusy || attempt == kMostAttempts) return answer;
    std::this_thread::sleep_for(std::chrono::milliseconds(500 + 500 * attempt));
  }
}

}  // namespace

Result<MadeGraded> make_graded(const std::string& server, const std::string& set_code, int days) {
  const auto answer = posted(server, "graded", {{"set", set_code}, {"days", days}});
  if (!answer) return answer.error();
  const auto made = parse_json(answer.value().data(), answer.value().size());
  const std::string set = made ? text_at(made.value(), "set").value_or("") : "";
  const std::string ticket = made ? text_at(made.value(), "ticket").value_or("") : "";
  if (set.empty() || ticket.empty()) return Error{"this server knows no graded sets", server, "use a newer one"};
  return MadeGraded{set, ticket, static_cast<std::int64_t>(number_at(made.value(), "ends").value_or(0))};
}

Result<std::vector<std::uint8_t>> graded_question(const std::string& server, const std::string& sealed, int at) {
  const auto answer = posted(server, "graded/question", {{"sealed", sealed}, {"at", at}});
  if (!answer) return answer.error();
  return std::vector<std::uint8_t>(answer.value().begin(), answer.value().end());
}

}  // namespace intercusp::share
