#include "share/folder_line.h"

#include <nlohmann/json.hpp>

#include "base/base64.h"
#include "base/json_read.h"

namespace intercusp::share {
namespace {

using nlohmann::json;

constexpr unsigned kGone = 404;

Result<std::int64_t> number_of(const Result<std::string>& answer, const char* key) {
  if (!answer) return answer.error();
  const Result<json> said = parse_json(answer.value().data(), answer.value().size());
  const auto number = said ? number_at(said.value(), key) : std::nullopt;
  if (!number) return Error{"this is no review server", "the server", "check the link"};
  return static_cast<std::int64_t>(*number);
}

}  // namespace

FolderLine::FolderLine(ServerAddress server, std::string folder, bool keeps_copy)
    : server_(std::move(server)), path_("folders/" + folder) {
  if (keeps_copy) copy_.emplace(folder);
}

Result<std::string> FolderLine::must(const ServerRequest& request) {
  status_ = 0;
  if (!line_) {
    auto line = ServerLine::open(server_, {});
    if (!line) return line.error();
    line_ = std::move(line).value();
  }
  Result<ServerReply> reply = line_->ask(request);
  if (!reply) return reply.error();
  status_ = reply.value().status;
  if (status_ == kGone) {
    return Error{"there is no such shared case: it ended, was deleted or revoked, or the link is not whole", "",
                 "ask whoever shared it"};
  }
  return body_or_refusal(std::move(reply).value());
}

Result<std::int64_t> FolderLine::about() {
  const auto ends = number_of(must({"GET", path_, read_token, {}, {}, true}), "ends");
  if (!copy_) return ends;
  if (ends) {
    copy_->keep_ends(ends.value());
    return ends;
  }
  if (status_ == kGone) copy_->forget();
  const auto kept = status_ == 0 ? copy_->ends() : std::nullopt;
  if (!kept) return ends;
  away_ = true;
  return *kept;
}

Result<std::vector<secrets::LogFrame>> FolderLine::log(std::uint64_t after) {
  if (away_ && after == 0) {
    auto kept = copy_->entries();
    if (!kept.empty()) return kept;
  }
  const auto bytes = must({"GET", path_ + "/log?after=" + std::to_string(after), read_token, {}, {}, true});
  if (!bytes) return bytes.error();
  auto frames = secrets::read_log(bytes.value());
  if (frames && copy_) copy_->keep_entries(frames.value());
  return frames;
}

Result<std::string> FolderLine::piece(const std::string& name) {
  if (name.empty() || !from_base64url(name)) return Error{"a piece has no name", "the shared case", {}};
  if (copy_) {
    if (auto kept = copy_->piece(name)) return std::move(*kept);
  }
  auto sealed = must({"GET", path_ + "/pieces/" + name, read_token, {}, {}, true});
  if (sealed && copy_) copy_->keep_piece(name, sealed.value());
  return sealed;
}

Status FolderLine::put_piece(const std::string& name, const std::string& sealed) {
  const auto sent = must({"PUT", path_ + "/pieces/" + name, write_token, sealed, {}, true});
  if (!sent) return sent.error();
  if (copy_) copy_->keep_piece(name, sealed);
  return Done{};
}

Result<std::uint64_t> FolderLine::append(const secrets::LogFrame& entry) {
  const auto number =
      number_of(must({"POST", path_ + "/log", write_token, entry.sealed, base64url(entry.id), true}), "number");
  if (!number) return number.error();
  const auto at = static_cast<std::uint64_t>(number.value());
  if (copy_) copy_->keep_entries({{at, entry.id, entry.sealed}});
  return at;
}

Result<std::int64_t> FolderLine::set_days(int days) {
  const std::string wish = json{{"days", days}}.dump();
  return number_of(must({"PATCH", path_, own_token, wish, {}, true}), "ends");
}

Status FolderLine::end_changing() {
  const auto done = must({"PATCH", path_, own_token, json{{"write", nullptr}}.dump(), {}, true});
  return done ? Status(Done{}) : Status(done.error());
}

Status FolderLine::remove() {
  const auto done = must({"DELETE", path_, own_token, {}, {}, true});
  if (!done) return done.error();
  if (copy_) copy_->forget();
  return Done{};
}

}  // namespace intercusp::share
