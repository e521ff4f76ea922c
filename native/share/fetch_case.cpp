#include "base/base64.h"
#include "base/json_read.h"
#include "base/sha256.h"
#include "casebook/case_file.h"
#include "casebook/recipe_link.h"
#include "review/crypto.h"
#include "review/entry.h"
#include "review/sealing.h"
#include "share/shared_folder.h"

namespace intercusp::share {
namespace {

using nlohmann::json;
using secrets::SealedAs;

constexpr std::size_t kFrameHeader = 8 + 16 + 4;

struct LogFrame {
  std::string id, sealed;
};

std::size_t number_in(const std::string& bytes, std::size_t at, std::size_t size) {
  std::size_t number = 0;
  for (std::size_t i = 0; i < size; ++i) number = number << 8 | static_cast<unsigned char>(bytes[at + i]);
  return number;
}

Result<std::vector<LogFrame>> read_log(const std::string& bytes) {
  std::vector<LogFrame> frames;
  for (std::size_t at = 0; at < bytes.size();) {
    const bool whole = bytes.size() - at >= kFrameHeader;
    const std::size_t length = whole ? number_in(bytes, at + 24, 4) : 0;
    if (!whole || length > bytes.size() - at - kFrameHeader) {
      return Error{"the history ends in the middle of an entry", "the server's answer", "try again"};
    }
    frames.push_back({bytes.substr(at + 8, 16), bytes.substr(at + kFrameHeader, length)});
    at += kFrameHeader + length;
  }
  return frames;
}

/// The body of a sealed entry that is signed as it says. Whose change key counts is decided by all of them together.
Result<ReviewEntry> open_entry(const secrets::ReviewKeys& keys, const std::string& folder, const LogFrame& frame) {
  const auto plain = secrets::open(keys.seal_key, {SealedAs::entry, folder, frame.id}, frame.sealed);
  if (!plain) return plain.error();
  const std::size_t signatures = 2 * secrets::kSignatureBytes;
  if (plain.value().size() < signatures) return Error{"an entry is cut short", "the history", {}};
  Result<ReviewEntry> entry = parse_entry(plain.value().substr(signatures));
  if (!entry) return entry;
  const std::string change = from_base64url(entry.value().change).value_or("");
  const std::string author = from_base64url(entry.value().author).value_or("");
  const auto body = secrets::body_of_entry(folder, plain.value(), change, author);
  if (!body) return body.error();
  if (entry.value().id != base64url(frame.id)) return Error{"an entry stands under another's id", "the history", {}};
  return entry;
}

/// The public change key that the link speaks of; of an old view link that of the first beginning.
std::string change_key_of(const secrets::ReviewLink& link, const std::vector<ReviewEntry>& entries) {
  for (const ReviewEntry& entry : entries) {
    const std::string key = from_base64url(entry.change).value_or("");
    if (entry.action == "begin" && (link.check.empty() || secrets::check_of(key) == link.check)) return entry.change;
  }
  return {};
}

Result<std::string> fetch_thing(ServerLine& line, const secrets::ReviewLink& link, const secrets::ReviewKeys& keys,
                                const json& thing) {
  const Error other{
      "the " + text_at(thing, "name").value_or("body") + " is not the one that was shared", "the server", {}};
  const std::size_t length = static_cast<std::size_t>(number_at(thing, "length").value_or(0));
  std::string bytes;
  for (const json& piece : thing.at("pieces")) {
    const std::string name = piece.get<std::string>();
    const auto sealed = line.must({"GET", "folders/" + link.folder + "/pieces/" + name, keys.read_token, {}, {}, true});
    if (!sealed) return sealed.error();
    const auto plain = secrets::open_piece(keys, link.folder, name, sealed.value());
    if (!plain) return plain.error();
    bytes += plain.value();
    if (bytes.size() > length) return other;
  }
  const bool same = sha256_hex(bytes.data(), bytes.size()) == text_at(thing, "sha256").value_or("");
  return same && bytes.size() == length ? Result<std::string>(std::move(bytes)) : other;
}

Result<std::vector<Body>> bodies_of_recipe(const Case& shared) {
  Case alone;
  alone.id = shared.id;
  alone.recipe = shared.recipe;
  Result<OpenedLink> made = open_recipe_link(recipe_link(alone, json::object()));
  if (!made) return made.error();
  return std::move(made.value().opened.bodies);
}

Result<std::vector<Body>> fetch_bodies(ServerLine& line, const secrets::ReviewLink& link,
                                       const secrets::ReviewKeys& keys, const SharedCase& shared) {
  if (!shared.now().recipe.empty()) return bodies_of_recipe(shared.now());
  std::vector<Body> bodies;
  const json stored = shared.stored_bodies();
  for (const json& thing : stored) {
    const Result<std::string> bytes = fetch_thing(line, link, keys, thing);
    if (!bytes) return bytes.error();
    Result<Case> alone = read_case(reinterpret_cast<const std::uint8_t*>(bytes.value().data()), bytes.value().size());
    if (!alone) return alone.error();
    const std::string name = text_at(thing, "name").value_or("body");
    if (alone.value().bodies.size() != 1) return Error{"the " + name + " is no body", "the shared case", {}};
    bodies.push_back(std::move(alone.value().bodies.front()));
    bodies.back().name = name;
  }
  return bodies;
}

}  // namespace

Result<FetchedCase> fetch_case(ServerLine& line, const secrets::ReviewLink& link) {
  const auto keys = secrets::review_keys(link.view_key);
  if (!keys) return keys.error();
  const auto log = line.must({"GET", "folders/" + link.folder + "/log?after=0", keys.value().read_token, {}, {}, true});
  if (!log) return log.error();
  const auto frames = read_log(log.value());
  if (!frames) return frames.error();
  FetchedCase fetched;
  std::vector<ReviewEntry> entries;
  for (const LogFrame& frame : frames.value()) {
    Result<ReviewEntry> entry = open_entry(keys.value(), link.folder, frame);
    if (entry) {
      entries.push_back(std::move(entry).value());
    } else {
      fetched.notes.push_back(entry.error().sentence());
    }
  }
  const std::string change = change_key_of(link, entries);
  SharedCase shared(change);
  for (const ReviewEntry& entry : entries) {
    const auto taken = shared.take(entry.body);
    if (!taken) fetched.notes.push_back(taken.error().sentence());
  }
  if (change.empty() || !shared.begun()) {
    return Error{"the shared case has no beginning that this link speaks of", "the server",
                 "ask whoever shared it to share it again"};
  }
  Result<std::vector<Body>> bodies = fetch_bodies(line, link, keys.value(), shared);
  if (!bodies) return bodies.error();
  shared.set_bodies(std::move(bodies).value());
  fetched.c = shared.now();
  fetched.entries = entries.size();
  fetched.remarks = shared.remarks().size();
  fetched.agreements = shared.agreements();
  for (const ReviewFinding& finding : shared.findings()) fetched.notes.push_back(finding.words);
  return fetched;
}

}  // namespace intercusp::share
