#include "practice/set_link.h"

#include "base/base64.h"
#include "practice/code_text.h"

namespace intercusp {

namespace {

const std::string kInboxMark = "&inbox=", kInboxVersion = "1.";

bool holds_bytes(const std::string& text, std::size_t bytes) {
  const auto read = from_base64url(text);
  return read && read->size() == bytes;
}

/// Fills in what the code says.
Status take_code(SetLink& link) {
  if (!is_ticket_code(link.code)) {
    auto set = read_set_code(link.code);
    if (!set) return set.error();
    link.set = std::move(set).value();
    link.results_of = is_graded(link.set) ? graded_name(link.set) : link.code;
    return Done{};
  }
  auto ticket = read_ticket_code(link.code);
  if (!ticket) return ticket.error();
  link.ticket = std::move(ticket).value();
  link.set.title = link.ticket->title;
  link.set.count = link.ticket->count;
  link.set.seconds = link.ticket->seconds;
  link.set.tools = link.ticket->tools;
  link.results_of = link.ticket->name;
  return Done{};
}

}  // namespace

std::string inbox_text(const InboxAddress& inbox) {
  return kInboxVersion + inbox.folder + "." + inbox.write + "." + inbox.key;
}

std::optional<InboxAddress> read_inbox(const std::string& text) {
  if (text.rfind(kInboxVersion, 0) != 0) return std::nullopt;
  const std::size_t begin = kInboxVersion.size(), first = text.find('.', begin);
  const std::size_t second = first == std::string::npos ? first : text.find('.', first + 1);
  if (second == std::string::npos) return std::nullopt;
  InboxAddress inbox{text.substr(begin, first - begin), text.substr(first + 1, second - first - 1),
                     text.substr(second + 1)};
  constexpr std::size_t kFolderBytes = 16, kTokenBytes = 32, kPointBytes = 65;
  const bool whole = holds_bytes(inbox.folder, kFolderBytes) && holds_bytes(inbox.write, kTokenBytes) &&
                     holds_bytes(inbox.key, kPointBytes);
  return whole ? std::optional<InboxAddress>(std::move(inbox)) : std::nullopt;
}

bool is_set_link(const std::string& text) {
  const std::size_t mark = text.find('#');
  const std::string code = mark == std::string::npos ? text : text.substr(mark + 1);
  return is_set_code(code) || is_ticket_code(code);
}

Result<SetLink> read_set_link(const std::string& text) {
  SetLink link;
  const std::size_t begin = text.find_first_not_of(" \t\r\n"), end = text.find_last_not_of(" \t\r\n");
  if (begin == std::string::npos) return bad_code("there is no set", "the set");
  std::string rest = text.substr(begin, end - begin + 1);
  if (const std::size_t mark = rest.find('#'); mark != std::string::npos) {
    link.server = rest.substr(0, mark);
    rest.erase(0, mark + 1);
  }
  const std::size_t mark = rest.find(kInboxMark);
  link.code = rest.substr(0, mark);
  if (const Status taken = take_code(link); !taken) return taken.error();
  if (mark == std::string::npos) return link;
  link.inbox = read_inbox(rest.substr(mark + kInboxMark.size()));
  if (!link.inbox) return bad_code("the link is cut short: where the results go is not whole", "the set");
  return link;
}

std::string set_fragment(const std::string& code, const std::optional<InboxAddress>& inbox) {
  return inbox ? code + kInboxMark + inbox_text(*inbox) : code;
}

}  // namespace intercusp
