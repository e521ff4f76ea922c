#include "share/class_inbox.h"

#include <filesystem>

#include <nlohmann/json.hpp>

#include "base/base64.h"
#include "base/json_read.h"
#include "review/crypto.h"
#include "review/inbox_seal.h"
#include "share/folder_line.h"
#include "share/outgoing.h"
#include "share/secret_file.h"
#include "window/folders.h"

namespace intercusp::share {
namespace {

using nlohmann::json;

/// What opens an inbox; bytes, but for the server's address.
struct InboxSecrets {
  std::string server, read, own;
  secrets::AgreementKey key;
};

std::filesystem::path inbox_path(const std::string& folder) {
  return std::filesystem::path(settings_folder()) / "inboxes" / folder;
}

/// The name stands in a path: nothing but a folder's name may.
bool is_folder_name(const std::string& folder) {
  const auto bytes = from_base64url(folder);
  return folder.size() == 22 && bytes && bytes->size() == 16;
}

Status keep_inbox(const std::string& folder, const InboxSecrets& s) {
  const json kept{{"server", s.server},
                  {"read", base64url(s.read)},
                  {"own", base64url(s.own)},
                  {"secret", base64url(s.key.secret)},
                  {"point", base64url(s.key.point)}};
  return write_secret(inbox_path(folder), kept.dump());
}

Result<InboxSecrets> kept_inbox(const std::string& folder) {
  const Error unknown{"this inbox was not made on this machine", "the inbox",
                      "fetch the results where the set was made"};
  std::error_code failed;
  if (!is_folder_name(folder) || !std::filesystem::exists(inbox_path(folder), failed)) return unknown;
  const auto text = read_secret(inbox_path(folder));
  if (!text) return text.error();
  const auto kept = parse_json(text.value().data(), text.value().size());
  if (!kept) return kept.error();
  const auto bytes = [&](const char* key) {
    return from_base64url(text_at(kept.value(), key).value_or("")).value_or("");
  };
  return InboxSecrets{
      text_at(kept.value(), "server").value_or(""), bytes("read"), bytes("own"), {bytes("secret"), bytes("point")}};
}

Result<FolderLine> line_to(const std::string& server, const std::string& folder) {
  const auto address = parse_server_address(server);
  if (!address) return address.error();
  return FolderLine(address.value(), folder, false);
}

Result<FolderTokens> fresh_tokens() {
  FolderTokens tokens;
  for (std::string* token : {&tokens.read, &tokens.write, &tokens.own}) {
    auto bytes = secrets::random_bytes(secrets::kKeyBytes);
    if (!bytes) return bytes.error();
    *token = std::move(bytes).value();
  }
  return tokens;
}

}  // namespace

Result<MadeInbox> make_inbox(const std::string& server, const std::string& set_code, int days) {
  // The set is bound into every result that is sealed; the inbox itself serves any.
  if (const auto set = read_set_code(set_code); !set) return set.error();
  const auto tokens = fresh_tokens();
  if (!tokens) return tokens.error();
  const auto key = secrets::fresh_agreement_key();
  if (!key) return key.error();
  auto line = line_to(server, "");
  if (!line) return line.error();
  const auto made =
      make_folder([&](const ServerRequest& request) { return line.value().must(request); }, tokens.value(), days);
  if (!made) return made.error();
  const Status kept = keep_inbox(made.value().folder, {server, tokens.value().read, tokens.value().own, key.value()});
  if (!kept) return kept.error();
  return MadeInbox{{made.value().folder, base64url(tokens.value().write), base64url(key.value().point)},
                   made.value().ends_ms};
}

Status send_to_inbox(const std::string& server, const InboxAddress& inbox, const std::string& set_code,
                     const std::string& result) {
  auto line = line_to(server, inbox.folder);
  if (!line) return line.error();
  line.value().write_token = from_base64url(inbox.write).value_or("");
  const auto id = secrets::random_bytes(16);
  if (!id) return id.error();
  const auto sealed =
      secrets::seal_result(from_base64url(inbox.key).value_or(""), {inbox.folder, id.value(), set_code}, result);
  if (!sealed) return sealed.error();
  const auto number = line.value().append({0, id.value(), sealed.value()});
  if (!number) return number.error();
  return Done{};
}

Result<FetchedInbox> fetch_inbox(const std::string& folder, const std::string& set_code) {
  const auto kept = kept_inbox(folder);
  if (!kept) return kept.error();
  auto line = line_to(kept.value().server, folder);
  if (!line) return line.error();
  line.value().read_token = kept.value().read;
  const auto frames = line.value().log(0);
  if (!frames) return frames.error();
  FetchedInbox out;
  for (const secrets::LogFrame& frame : frames.value()) {
    auto opened = secrets::open_result(kept.value().key, {folder, frame.id, set_code}, frame.sealed);
    if (opened)
      out.results.push_back(std::move(opened).value());
    else
      out.left_out.push_back(opened.error().sentence());
  }
  return out;
}

Status delete_inbox(const std::string& folder) {
  const auto kept = kept_inbox(folder);
  if (!kept) return kept.error();
  auto line = line_to(kept.value().server, folder);
  if (!line) return line.error();
  line.value().own_token = kept.value().own;
  const Status gone = line.value().remove();
  if (!gone) return gone;
  std::error_code failed;
  std::filesystem::remove(inbox_path(folder), failed);
  return Done{};
}

}  // namespace intercusp::share
