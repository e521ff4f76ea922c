#include <chrono>

#include "base/base64.h"
#include "casebook/case_file.h"
#include "casebook/case_json.h"
#include "review/crypto.h"
#include "review/entry.h"
#include "review/first_picture.h"
#include "review/sealing.h"
#include "share/outgoing.h"
#include "share/person_key.h"
#include "share/shared_folder.h"

namespace intercusp::share {
namespace {

using nlohmann::json;
using secrets::SealedAs;

/// A body as a case file that holds it alone.
Result<json> send_alone(const Asks& asks, const Outgoing& out, const Body& body) {
  Case alone;
  alone.id = body.name;
  alone.bodies.push_back(body);
  const std::vector<std::uint8_t> bytes = write_case(alone);
  return send_body(asks, out, body.name, {bytes.begin(), bytes.end()}, {});
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
  const Asks asks = [&line](const ServerRequest& request) { return line.must(request); };
  const Result<std::int64_t> ends = make_folder(asks, out, sharer.days);
  if (!ends) return ends.error();
  const Status kept = keep_owner_secret(out.link.folder, out.own_secret);
  if (!kept) return kept.error();
  json bodies = json::array();
  for (const Body& body : c.bodies) {
    if (!c.recipe.empty()) break;  // they follow from the recipe
    Result<json> sent = send_alone(asks, out, body);
    if (!sent) return sent.error();
    bodies.push_back(std::move(sent).value());
    const auto coarse = coarse_body(body);
    if (!coarse) continue;
    sent = send_alone(asks, out, *coarse);
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
