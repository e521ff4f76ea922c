#include "share/graded_line.h"

#include <nlohmann/json.hpp>

#include "base/json_read.h"
#include "share/folder_line.h"

namespace intercusp::share {
namespace {

using nlohmann::json;

Result<std::string> posted(const std::string& server, const std::string& path, const json& body) {
  const auto address = parse_server_address(server);
  if (!address) return address.error();
  FolderLine line(address.value(), "", false);
  ServerRequest request;
  request.method = "POST";
  request.path = path;
  request.body = body.dump();
  return line.must(request);
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
