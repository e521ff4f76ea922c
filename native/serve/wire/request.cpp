#include "serve/wire/request.h"

#include <vector>

#include "base/json_read.h"

namespace intercusp::serve {
namespace {

constexpr std::string_view kPrefix = "/review";
constexpr int kMostGradedAt = 1000;

std::vector<std::string_view> parts_of(std::string_view path) {
  std::vector<std::string_view> parts;
  while (!path.empty() && parts.size() < 8) {
    path.remove_prefix(1);  // a slash
    const auto end = path.find('/');
    parts.push_back(path.substr(0, end));
    path = end == std::string_view::npos ? std::string_view() : path.substr(end);
  }
  return parts;
}

/// "Bearer" is matched as RFC 9110 11.1 has it, in any case.
std::optional<Token> bearer_token(std::string_view header) {
  constexpr std::string_view scheme = "bearer ";
  if (header.size() < scheme.size()) return std::nullopt;
  for (std::size_t i = 0; i < scheme.size(); ++i) {
    const char c = header[i];
    if ((c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c) != scheme[i]) return std::nullopt;
  }
  return array_from_text<Token>(header.substr(scheme.size()));
}

/// The number of `?after=N` alone; nothing for any other query.
std::optional<std::uint64_t> after_of(std::string_view query) {
  constexpr std::string_view key = "after=";
  if (query.empty()) return 0;
  if (query.substr(0, key.size()) != key) return std::nullopt;
  query.remove_prefix(key.size());
  if (query.empty() || query.size() > 15) return std::nullopt;
  std::uint64_t value = 0;
  for (const char c : query) {
    if (c < '0' || c > '9') return std::nullopt;
    value = value * 10 + static_cast<std::uint64_t>(c - '0');
  }
  return value;
}

ReviewCall call_on_folder(std::string_view method) {
  if (method == "GET") return ReviewCall::look;
  if (method == "PATCH") return ReviewCall::change;
  if (method == "DELETE") return ReviewCall::erase;
  return ReviewCall::wrong_method;
}

ReviewCall call_on_piece(std::string_view method) {
  if (method == "HEAD") return ReviewCall::has_piece;
  if (method == "GET") return ReviewCall::get_piece;
  if (method == "PUT") return ReviewCall::put_piece;
  return ReviewCall::wrong_method;
}

ReviewCall call_on_log(std::string_view method) {
  if (method == "POST") return ReviewCall::append;
  return method == "GET" ? ReviewCall::read_log : ReviewCall::wrong_method;
}

/// Parts behind "/review": graded, or graded and question.
ReviewCall call_on_graded(std::string_view method, const std::vector<std::string_view>& parts) {
  if (parts.size() > 3 || (parts.size() == 3 && parts[2] != "question")) return ReviewCall::no_such_address;
  if (method != "POST") return ReviewCall::wrong_method;
  return parts.size() == 2 ? ReviewCall::make_graded : ReviewCall::graded_question;
}

/// Parts behind "/review": folders, F, and what of it.
ReviewCall call_of(std::string_view method, const std::vector<std::string_view>& parts) {
  if (parts.size() >= 2 && parts[1] == "graded") return call_on_graded(method, parts);
  if (parts.size() < 2 || parts[1] != "folders") return ReviewCall::no_such_address;
  if (parts.size() == 2) return method == "POST" ? ReviewCall::make_folder : ReviewCall::wrong_method;
  if (parts.size() == 3) return call_on_folder(method);
  if (parts.size() == 5 && parts[3] == "pieces") return call_on_piece(method);
  if (parts.size() == 4 && parts[3] == "log") return call_on_log(method);
  if (parts.size() == 4 && parts[3] == "room") return method == "GET" ? ReviewCall::room : ReviewCall::wrong_method;
  return ReviewCall::no_such_address;
}

Error bad_json(const std::string& what) {
  return {what, "the request's body", "send what docs/review-protocol.md describes"};
}

Result<int> days_at(const nlohmann::json& object, int longest_days) {
  const nlohmann::json* days = member(object, "days");
  if (!days || !days->is_number_integer() || *days < 1 || *days > longest_days) {
    return bad_json("\"days\" must be a whole number from 1 to " + std::to_string(longest_days));
  }
  return days->get<int>();
}

std::optional<TokenHash> hash_at(const nlohmann::json& object, const char* key) {
  const std::optional<std::string> text = text_at(object, key);
  return text ? hash_from_hex(*text) : std::nullopt;
}

}  // namespace

bool is_review_address(std::string_view target) {
  if (target.substr(0, kPrefix.size()) != kPrefix) return false;
  return target.size() == kPrefix.size() || target[kPrefix.size()] == '/' || target[kPrefix.size()] == '?';
}

ReviewRequest read_review_request(std::string_view method, std::string_view target, std::string_view authorization,
                                  std::string_view entry) {
  const auto mark = target.find_first_of("?#");
  const std::string_view path = target.substr(0, mark);
  const std::string_view query = mark == std::string_view::npos ? std::string_view() : target.substr(mark + 1);
  const std::vector<std::string_view> parts = parts_of(path);

  ReviewRequest request;
  request.call = call_of(method, parts);
  request.token = bearer_token(authorization);
  request.entry = array_from_text<EntryId>(entry);
  const ReviewCall call = request.call;
  const bool names_folder = call != ReviewCall::no_such_address && call != ReviewCall::wrong_method &&
                            call != ReviewCall::graded_question && parts.size() >= 3;
  if (!names_folder) return request;
  const auto folder = array_from_text<FolderName>(parts[2]);
  const auto piece = parts.size() == 5 ? array_from_text<PieceName>(parts[4]) : PieceName{};
  const auto after = request.call == ReviewCall::read_log ? after_of(query) : 0;
  if (!folder || !piece || !after) {
    request.call = ReviewCall::malformed;
    return request;
  }
  request.folder = *folder;
  request.piece = *piece;
  request.after = *after;
  return request;
}

std::size_t most_body_bytes(ReviewCall call) {
  switch (call) {
    case ReviewCall::make_folder:
    case ReviewCall::change:
    case ReviewCall::make_graded:
    case ReviewCall::graded_question:
      return kMostJsonBytes;
    case ReviewCall::put_piece:
      return kMostPieceBytes;
    case ReviewCall::append:
      return kMostEntryBytes;
    default:
      return 0;
  }
}

Result<FolderWish> read_folder_wish(const std::string& json, int longest_days) {
  const Result<nlohmann::json> parsed = parse_json(json.data(), json.size());
  if (!parsed) return parsed.error();
  FolderWish wish;
  const Result<int> days = days_at(parsed.value(), longest_days);
  if (!days) return days.error();
  wish.days = days.value();
  for (const auto& [key, hash] :
       {std::pair<const char*, TokenHash*>{"read", &wish.read}, {"write", &wish.write}, {"own", &wish.own}}) {
    const std::optional<TokenHash> given = hash_at(parsed.value(), key);
    if (!given) return bad_json(std::string("\"") + key + "\" must be the SHA-256 of a token, as 64 hex digits");
    *hash = *given;
  }
  return wish;
}

Result<FolderChange> read_folder_change(const std::string& json, int longest_days) {
  const Result<nlohmann::json> parsed = parse_json(json.data(), json.size());
  if (!parsed) return parsed.error();
  const nlohmann::json& object = parsed.value();
  FolderChange change;
  if (member(object, "days")) {
    const Result<int> days = days_at(object, longest_days);
    if (!days) return days.error();
    change.days = days.value();
  }
  using Hash = std::optional<std::optional<TokenHash>>;
  for (const auto& [key, hash] : {std::pair<const char*, Hash*>{"read", &change.read}, {"write", &change.write}}) {
    const nlohmann::json* given = member(object, key);
    if (!given) continue;
    const std::optional<TokenHash> value = hash_at(object, key);
    if (!value && !given->is_null()) {
      return bad_json(std::string("\"") + key + "\" must be null or the SHA-256 of a token, as 64 hex digits");
    }
    hash->emplace(value);
  }
  if (!change.days && !change.read && !change.write) return bad_json("it names nothing to change");
  return change;
}

Result<GradedWish> read_graded_wish(const std::string& json, int longest_days) {
  const Result<nlohmann::json> parsed = parse_json(json.data(), json.size());
  if (!parsed) return parsed.error();
  const Result<int> days = days_at(parsed.value(), longest_days);
  if (!days) return days.error();
  const auto set = text_at(parsed.value(), "set");
  if (!set) return bad_json("\"set\" must be the code of a set");
  return GradedWish{*set, days.value()};
}

Result<GradedAsk> read_graded_ask(const std::string& json) {
  const Result<nlohmann::json> parsed = parse_json(json.data(), json.size());
  if (!parsed) return parsed.error();
  const auto sealed = text_at(parsed.value(), "sealed");
  const nlohmann::json* at = member(parsed.value(), "at");
  if (!sealed) return bad_json("\"sealed\" must be what the ticket to a set holds");
  if (!at || !at->is_number_integer() || *at < 0 || *at > kMostGradedAt)
    return bad_json("\"at\" must be a question's number, from 0");
  return GradedAsk{*sealed, at->get<int>()};
}

}  // namespace intercusp::serve
