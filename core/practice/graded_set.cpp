#include "practice/graded_set.h"

#include <nlohmann/json.hpp>

#include "base/base64.h"
#include "base/json_read.h"
#include "base/sha256.h"
#include "practice/code_text.h"

namespace intercusp {

using nlohmann::json;

namespace {

const std::string kTicketPrefix = "ticket1-";
const char kQuestionPurpose[] = "intercusp practice 1 graded question ", kNamePurpose[] = "intercusp practice 1 graded";
constexpr std::size_t kSeedDigits = 13, kNameBytes = 32, kMostSealed = 4096;

std::string hash_of(const std::string& purpose, const std::string& secret) {
  const std::string whole = purpose + std::string(1, '\0') + secret;
  return sha256_hex(whole.data(), whole.size());
}

std::string bytes_of_hex(const std::string& hex) {
  std::string bytes;
  for (std::size_t i = 0; i + 1 < hex.size(); i += 2)
    bytes += static_cast<char>(std::stoi(hex.substr(i, 2), nullptr, 16));
  return bytes;
}

bool holds_name(const std::string& text) {
  const auto bytes = from_base64url(text);
  return bytes && bytes->size() == kNameBytes;
}

}  // namespace

bool is_graded(const QuestionSet& set) {
  return !set.secret.empty();
}

std::uint64_t graded_seed(const QuestionSet& set, int i) {
  return 1 + std::stoull(hash_of(kQuestionPurpose + std::to_string(i), set.secret).substr(0, kSeedDigits), nullptr, 16);
}

std::string graded_name(const QuestionSet& set) {
  return base64url(bytes_of_hex(hash_of(kNamePurpose, set.secret)));
}

GradedTicket ticket_of(const QuestionSet& set, std::string sealed) {
  return {set.title, set.count, set.seconds, set.tools, graded_name(set), std::move(sealed), set.version};
}

std::string ticket_code(const GradedTicket& ticket) {
  const json document = {{"v", ticket.version},       {"title", short_label(ticket.title)}, {"count", ticket.count},
                         {"seconds", ticket.seconds}, {"tools", tools_id(ticket.tools)},    {"name", ticket.name},
                         {"sealed", ticket.sealed}};
  return checked_code(kTicketPrefix, code_body(document), "");
}

bool is_ticket_code(const std::string& text) {
  return text.compare(0, kTicketPrefix.size(), kTicketPrefix) == 0;
}

Result<GradedTicket> read_ticket_code(const std::string& code) {
  const auto body = body_of_code(kTicketPrefix, code, "", "the set");
  if (!body) return body.error();
  const auto document = document_of_body(body.value(), "the set");
  if (!document) return document.error();
  const json& d = document.value();
  const double version = number_at(d, "v").value_or(0);
  if (!is_known_version(version))
    return Error{"this set was made by another version of the program", "the set", "open it with that version"};
  const auto whole = [&d](const char* key, int low, int high) {
    const double value = number_at(d, key).value_or(-1);
    return value >= low && value <= high ? static_cast<int>(value) : -1;
  };
  const auto tools = tools_of(text_at(d, "tools").value_or(""));
  GradedTicket ticket{short_label(text_at(d, "title").value_or("")),
                      whole("count", 1, kMostQuestions),
                      whole("seconds", 0, 3600),
                      tools.value_or(PracticeTools::model),
                      text_at(d, "name").value_or(""),
                      text_at(d, "sealed").value_or(""),
                      static_cast<int>(version)};
  const bool fine = ticket.count > 0 && ticket.seconds >= 0 && tools && holds_name(ticket.name) &&
                    !ticket.sealed.empty() && ticket.sealed.size() <= kMostSealed && from_base64url(ticket.sealed);
  if (!fine) return bad_code("the ticket to the set is not whole", "the set");
  return ticket;
}

}  // namespace intercusp
