#include "share/outgoing.h"

#include <algorithm>

#include <nlohmann/json.hpp>

#include "base/json_read.h"
#include "base/sha256.h"
#include "review/crypto.h"
#include "review/sealing.h"

namespace intercusp::share {
namespace {

using nlohmann::json;
using secrets::SealedAs;

constexpr std::size_t kPieceBytes = 1u << 20;

std::string hash_of(const std::string& token) {
  return sha256_hex(token.data(), token.size());
}

}  // namespace

Result<Outgoing> fresh_secrets() {
  std::string random[3];
  for (std::string& bytes : random) {
    Result<std::string> made = secrets::random_bytes(secrets::kKeyBytes);
    if (!made) return made.error();
    bytes = std::move(made).value();
  }
  Outgoing out;
  out.link.view_key = random[0];
  out.link.change_seed = random[1];
  out.own_secret = random[2];
  auto keys = secrets::review_keys(random[0]);
  if (!keys) return keys.error();
  auto change = secrets::change_keys(random[1]);
  if (!change) return change.error();
  auto own = secrets::own_token(random[2]);
  if (!own) return own.error();
  out.keys = std::move(keys).value();
  out.change = std::move(change).value();
  out.own_token = std::move(own).value();
  out.link.check = secrets::check_of(out.change.public_key);
  return out;
}

Result<MadeFolder> make_folder(const Asks& asks, const FolderTokens& tokens, int days) {
  const json wish{
      {"read", hash_of(tokens.read)}, {"write", hash_of(tokens.write)}, {"own", hash_of(tokens.own)}, {"days", days}};
  ServerRequest request{"POST", "folders", {}, wish.dump(), {}, false};
  const Result<std::string> said = asks(request);
  if (!said) return said.error();
  const Result<json> made = parse_json(said.value().data(), said.value().size());
  const auto folder = made ? text_at(made.value(), "folder") : std::nullopt;
  if (!folder || folder->size() != 22) return Error{"this is no review server", "the server", "check --server"};
  return MadeFolder{*folder, static_cast<std::int64_t>(number_at(made.value(), "ends").value_or(0))};
}

Result<std::int64_t> make_folder(const Asks& asks, Outgoing& out, int days) {
  const auto made = make_folder(asks, {out.keys.read_token, out.change.write_token, out.own_token}, days);
  if (!made) return made.error();
  out.link.folder = made.value().folder;
  return made.value().ends_ms;
}

Result<json> send_body(const Asks& asks, const Outgoing& out, const std::string& name, const std::string& bytes,
                       const std::function<bool(std::size_t)>& sent) {
  const std::string pieces_path = "folders/" + out.link.folder + "/pieces/";
  json pieces = json::array();
  for (std::size_t at = 0; at < bytes.size(); at += kPieceBytes) {
    const std::string plain = bytes.substr(at, kPieceBytes);
    const std::string piece = secrets::piece_name(out.keys.name_key, plain);
    const auto sealed = secrets::seal(out.keys.seal_key, {SealedAs::piece, out.link.folder, piece}, plain);
    if (!sealed) return sealed.error();
    const auto stored = asks({"PUT", pieces_path + piece, out.change.write_token, sealed.value(), {}, true});
    if (!stored) return stored.error();
    pieces.push_back(piece);
    if (sent && !sent(at + plain.size())) return Error{"it was stopped", name, {}};
  }
  return json{
      {"name", name}, {"pieces", pieces}, {"length", bytes.size()}, {"sha256", sha256_hex(bytes.data(), bytes.size())}};
}

}  // namespace intercusp::share
