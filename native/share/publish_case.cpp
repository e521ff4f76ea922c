#include <chrono>

#include "base/base64.h"
#include "base/json_read.h"
#include "base/sha256.h"
#include "casebook/case_file.h"
#include "casebook/case_json.h"
#include "review/crypto.h"
#include "review/entry.h"
#include "review/first_picture.h"
#include "review/sealing.h"
#include "share/person_key.h"
#include "share/shared_folder.h"

namespace intercusp::share {
namespace {

using nlohmann::json;
using secrets::SealedAs;

constexpr std::size_t kPieceBytes = 1u << 20;

/// Everything that one sharing needs.
struct Outgoing {
  secrets::ReviewLink link;
  secrets::ReviewKeys keys;
  secrets::ChangeKeys change;
  std::string own_secret, own_token;
};

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

std::string hash_of(const std::string& token) {
  return sha256_hex(token.data(), token.size());
}

Result<std::int64_t> make_folder(ServerLine& line, Outgoing& out, int days) {
  const json wish{{"read", hash_of(out.keys.read_token)},
                  {"write", hash_of(out.change.write_token)},
                  {"own", hash_of(out.own_token)},
                  {"days", days}};
  ServerRequest request{"POST", "folders", {}, wish.dump(), {}, false};
  const Result<std::string> said = line.must(request);
  if (!said) return said.error();
  const Result<json> made = parse_json(said.value().data(), said.value().size());
  const auto folder = made ? text_at(made.value(), "folder") : std::nullopt;
  if (!folder || folder->size() != 22) return Error{"this is no review server", "the server", "check --server"};
  out.link.folder = *folder;
  return static_cast<std::int64_t>(number_at(made.value(), "ends").value_or(0));
}

/// Sends one body as a case file that holds it alone; gives how the beginning names it.
Result<json> send_body(ServerLine& line, const Outgoing& out, const Body& body) {
  Case alone;
  alone.id = body.name;
  alone.bodies.push_back(body);
  const std::vector<std::uint8_t> bytes = write_case(alone);
  json pieces = json::array();
  for (std::size_t at = 0; at < bytes.size(); at += kPieceBytes) {
    const std::size_t size = std::min(kPieceBytes, bytes.size() - at);
    const std::string plain(reinterpret_cast<const char*>(bytes.data()) + at, size);
    const std::string name = secrets::piece_name(out.keys.name_key, plain);
    const auto sealed = secrets::seal(out.keys.seal_key, {SealedAs::piece, out.link.folder, name}, plain);
    if (!sealed) return sealed.error();
    const Result<std::string> sent = line.must(
        {"PUT", "folders/" + out.link.folder + "/pieces/" + name, out.change.write_token, sealed.value(), {}, true});
    if (!sent) return sent.error();
    pieces.push_back(name);
  }
  return json{{"name", body.name},
              {"pieces", pieces},
              {"length", bytes.size()},
              {"sha256", sha256_hex(bytes.data(), bytes.size())}};
}

Status send_entry(ServerLine& line, const Outgoing& out, const Sharer& sharer, const json& fields) {
  const Result<std::string> seed = person_seed();
  if (!seed) return seed.error();
  const Result<std::string> author = secrets::ed25519_public(seed.value());
  if (!author) return author.error();
  const Result<std::string> id = secrets::random_bytes(16);
  if (!id) return id.error();
  const auto now = std::chrono::system_clock::now().time_since_epoch();
  const EntryStamp stamp{base64url(id.value()), base64url(author.value()), sharer.name, sharer.role,
                         std::chrono::duration_cast<std::chrono::milliseconds>(now).count()};
  const std::string body = SharedCase(base64url(out.change.public_key)).write(stamp, fields);
  const auto readable = parse_entry(body);
  if (!readable) return readable.error();
  const auto entry = secrets::sign_entry(out.link.folder, body, *out.link.change_seed, seed.value());
  if (!entry) return entry.error();
  const auto sealed = secrets::seal(out.keys.seal_key, {SealedAs::entry, out.link.folder, id.value()}, entry.value());
  if (!sealed) return sealed.error();
  const Result<std::string> sent = line.must(
      {"POST", "folders/" + out.link.folder + "/log", out.change.write_token, sealed.value(), stamp.id, true});
  if (!sent) return sent.error();
  return Done{};
}

}  // namespace

Result<Published> publish_case(ServerLine& line, const Case& c, const Sharer& sharer) {
  Result<Outgoing> made = fresh_secrets();
  if (!made) return made.error();
  Outgoing& out = made.value();
  const Result<std::int64_t> ends = make_folder(line, out, sharer.days);
  if (!ends) return ends.error();
  const Status kept = keep_owner_secret(out.link.folder, out.own_secret);
  if (!kept) return kept.error();
  json bodies = json::array();
  for (const Body& body : c.bodies) {
    if (!c.recipe.empty()) break;  // they follow from the recipe
    Result<json> sent = send_body(line, out, body);
    if (!sent) return sent.error();
    bodies.push_back(std::move(sent).value());
    const auto coarse = coarse_body(body);
    if (!coarse) continue;
    sent = send_body(line, out, *coarse);
    if (!sent) return sent.error();
    for (const char* key : {"pieces", "length", "sha256"}) bodies.back()["coarse"][key] = sent.value()[key];
  }
  const json begin{
      {"do", "begin"}, {"change", base64url(out.change.public_key)}, {"case", case_to_json(c)}, {"bodies", bodies}};
  const Status begun = send_entry(line, out, sharer, begin);
  if (!begun) return begun.error();
  return Published{out.link, ends.value()};
}

Status withdraw_case(ServerLine& line, const secrets::ReviewLink& link) {
  const Result<std::string> secret = owner_secret(link.folder);
  if (!secret) return secret.error();
  const Result<std::string> token = secrets::own_token(secret.value());
  if (!token) return token.error();
  const Result<std::string> gone = line.must({"DELETE", "folders/" + link.folder, token.value(), {}, {}, true});
  if (!gone) return gone.error();
  return Done{};
}

}  // namespace intercusp::share
