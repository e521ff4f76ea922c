#include "review/entry.h"

#include <algorithm>
#include <tuple>

#include "base/base64.h"
#include "base/json_read.h"
#include "base/sha256.h"
#include "review/entry_fields.h"

namespace intercusp {

using nlohmann::json;

namespace {

constexpr double kMostCount = 9007199254740991.0;  // 2^53 - 1: whole in every JSON reader

Error entry_fault(const std::string& what, const std::string& where) {
  return Error{what, "entry, " + where, "it was left out; ask its author to make the change again"};
}

std::optional<std::uint64_t> count_at(const json& body, const char* key, double least) {
  const json* value = member(body, key);
  if (!value || !value->is_number_integer()) return std::nullopt;
  const double number = value->get<double>();
  if (number < least || number > kMostCount) return std::nullopt;
  return static_cast<std::uint64_t>(number);
}

std::optional<std::string> bytes_at(const json& body, const char* key, std::size_t size) {
  const auto text = text_at(body, key);
  const auto bytes = text ? from_base64url(*text) : std::nullopt;
  return bytes && bytes->size() == size ? text : std::nullopt;
}

Status read_seen(const json& body, ReviewEntry& entry) {
  const json* seen = member(body, "seen");
  if (!seen || !seen->is_object() || seen->size() > 1000)
    return entry_fault("what its author had seen is missing", "seen");
  for (const auto& [author, value] : seen->items()) {
    const auto count = count_at(*seen, author.c_str(), 0);
    if (!count) return entry_fault("a count is no whole number", "seen");
    entry.seen[author] = *count;
  }
  return Done{};
}

Status read_author(const json& body, ReviewEntry& entry) {
  const auto id = bytes_at(body, "id", 16), author = bytes_at(body, "author", 32),
             change = bytes_at(body, "change", 32);
  if (!id) return entry_fault("the id is not 16 bytes", "id");
  if (!author) return entry_fault("the author's key is not 32 bytes", "author");
  if (!change) return entry_fault("the change key is not 32 bytes", "change");
  const auto name = text_at(body, "name"), role = text_at(body, "role");
  if (!name || !role || name->size() > kLongestName || role->size() > kLongestName)
    return entry_fault("name and role are missing or too long", "name");
  entry.id = *id;
  entry.author = *author;
  entry.change = *change;
  entry.name = *name;
  entry.role = *role;
  return Done{};
}

Status read_order(const json& body, ReviewEntry& entry) {
  const auto count = count_at(body, "count", 1), clock = count_at(body, "clock", 1), time = count_at(body, "time", 0);
  if (!count || !clock || !time) return entry_fault("count, clock and time are not whole numbers", "count");
  const auto before = text_at(body, "before");
  const bool fits = before && (before->empty() ? *count == 1 : *count > 1 && is_hex_digest(*before));
  if (!fits) return entry_fault("the digest of the author's entry before it does not fit its count", "before");
  entry.count = *count;
  entry.clock = *clock;
  entry.time_ms = static_cast<std::int64_t>(*time);
  entry.before = *before;
  return Done{};
}

}  // namespace

bool merges_before(const ReviewEntry& a, const ReviewEntry& b) {
  return std::tie(a.clock, a.author, a.count, a.sha256) < std::tie(b.clock, b.author, b.count, b.sha256);
}

std::string canonical_text(const json& value) {
  return value.dump(-1, ' ', false, json::error_handler_t::replace);
}

Result<ReviewEntry> parse_entry(const std::string& body) {
  if (body.size() > kLongestEntry) return entry_fault("it is larger than any that this program makes", "size");
  auto parsed = parse_json(body.data(), body.size());
  if (!parsed.ok()) return entry_fault(parsed.error().what, parsed.error().where);
  ReviewEntry entry;
  entry.fields = std::move(parsed).value();
  if (!entry.fields.is_object()) return entry_fault("it is not an object", "body");
  if (canonical_text(entry.fields) != body)
    return entry_fault("it is not written in the one form that is signed", "body");
  for (const auto& read : {read_author, read_order, read_seen}) {
    const Status status = read(entry.fields, entry);
    if (!status.ok()) return status.error();
  }
  const auto action = text_at(entry.fields, "do");
  if (!action || action->empty() || action->size() > kLongestName)
    return entry_fault("it does not say what was done", "do");
  entry.action = *action;
  const Status fields = check_fields(entry.action, entry.fields);
  if (!fields.ok()) return entry_fault(fields.error().what, fields.error().where);
  entry.body = body;
  entry.sha256 = sha256_hex(body.data(), body.size());
  return entry;
}

}  // namespace intercusp
