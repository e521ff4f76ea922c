// What the host tells the teacher's page of signatures and the inbox.
#include "app/work/class_parts.h"

#include <algorithm>

#include "app/work/command_table.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

/// The signatures that do not fit are taken out.
void take_checked(Workspace& w, const Json& event) {
  ClassWork& c = *w.class_work;
  if (c.check == 0 || number_at(event, "number").value_or(0) != c.check) return;
  c.check = 0;
  const Json* sound = member(event, "sound");
  std::vector<std::size_t> with_key;
  for (std::size_t i = 0; i < c.lines->results.size(); ++i)
    if (!c.lines->results[i].result.key.empty()) with_key.push_back(i);
  for (std::size_t k = with_key.size(); k-- > 0;) {
    const bool fits = sound && sound->is_array() && k < sound->size() && (*sound)[k] == true;
    if (!fits) refuse_signature(*c.lines, with_key[k]);
  }
  mark_if_ready(w);
}

/// The server gave a graded set: its code for the teacher, a ticket for the students.
void take_graded(Workspace& w, const Json& event) {
  ClassWork& c = *w.class_work;
  if (!c.asking_server) return;
  c.asking_server = false;
  const std::string code = text_at(event, "set").value_or(""), ticket = text_at(event, "ticket").value_or("");
  const auto set = read_set_code(code);
  if (!set || !is_graded(set.value()) || !read_ticket_code(ticket)) {
    c.server_trouble = "The server gave no graded set";
    return;
  }
  if (const Status begun = make_inbox_or_take(w, code, ticket); !begun) c.server_trouble = begun.error().what;
}

void take_inbox(Workspace& w, const Json& event) {
  ClassWork& c = *w.class_work;
  if (!c.asking_server) return;
  c.asking_server = false;
  const auto inbox = read_inbox(text_at(event, "inbox").value_or(""));
  const std::string code = text_at(event, "set").value_or("");
  if (!inbox || !read_set_code(code)) {
    c.server_trouble = "The server gave no inbox";
    return;
  }
  take_made(w, code, inbox, static_cast<std::int64_t>(number_at(event, "ends").value_or(0)));
}

std::string counted_results(std::size_t n) {
  return std::to_string(n) + (n == 1 ? " result" : " results");
}

void take_fetched(Workspace& w, const Json& event) {
  ClassWork& c = *w.class_work;
  c.fetching = false;
  std::string text;
  std::size_t there = 0, bad = 0;
  const Json *results = member(event, "results"), *left_out = member(event, "left_out");
  for (const Json& one : results && results->is_array() ? *results : Json::array())
    if (one.is_string()) ++there, text += one.get<std::string>() + "\n";
  if (left_out && left_out->is_array()) bad = left_out->size();
  const std::size_t added = add_results(w, text);
  c.fetched = counted_results(there) + " in the inbox, " + std::to_string(added) + " new";
  if (bad > 0) c.fetched += "; " + std::to_string(bad) + " could not be opened and were left out";
  if (const Status begun = gather_class(w); !begun) w.say_error(begun.error(), "the results are in the box");
}

void take_inbox_deleted(Workspace& w) {
  ClassWork& c = *w.class_work;
  const auto link = read_set_link(c.set_text);
  if (link && link.value().inbox) {
    const std::string gone = inbox_text(*link.value().inbox);
    for (MadeSet& set : c.earlier)
      if (set.inbox == gone) set.inbox.clear(), set.ends_ms = 0;
    keep_sets(w);
    if (c.fragment == set_fragment(c.student_code, link.value().inbox)) c.fragment = c.student_code;
    c.set_text = link.value().code;
  }
  c.fetched = "The inbox is deleted from the server; the results here stay until you leave";
}

void take_trouble_of_class(Workspace& w, const Json& event) {
  ClassWork& c = *w.class_work;
  const std::string asked = text_at(event, "asked").value_or("");
  const std::string what = text_at(event, "what").value_or("something went wrong");
  if (asked == "check" && c.check != 0 && number_at(event, "number").value_or(0) == c.check) {
    c.check = 0;
    c.cannot_check = true;
    return mark_if_ready(w);
  }
  if (asked == "inbox" || asked == "graded") {
    c.asking_server = false;
    c.server_trouble = what;
  }
  if (asked == "fetch" || asked == "delete_inbox") {
    c.fetching = false;
    c.fetched = what;
  }
  w.wake();
}

}  // namespace

Status fetch_inbox(Workspace& w) {
  ClassWork& c = *w.class_work;
  const auto link = read_set_link(c.set_text);
  if (!link) return link.error();
  if (!link.value().inbox)
    return Error{"this set has no inbox", "", "its students pass their results on by hand: paste them"};
  c.fetched.clear();
  c.fetching =
      w.host.practice({{"ask", "fetch"}, {"folder", link.value().inbox->folder}, {"set", link.value().results_of}});
  if (!c.fetching) return Error{"there are no keys here to open an inbox with", "", ""};
  return Done{};
}

Status delete_inbox(Workspace& w) {
  const auto link = read_set_link(w.class_work->set_text);
  if (!link) return link.error();
  if (!link.value().inbox) return Error{"this set has no inbox", "", ""};
  w.host.practice({{"ask", "delete_inbox"}, {"folder", link.value().inbox->folder}});
  return Done{};
}

bool take_class_event(Workspace& w, const std::string& kind, const Json& event) {
  if (!w.class_work) return false;
  if (kind == "checked")
    take_checked(w, event);
  else if (kind == "graded")
    take_graded(w, event);
  else if (kind == "inbox")
    take_inbox(w, event);
  else if (kind == "fetched")
    take_fetched(w, event);
  else if (kind == "inbox_deleted")
    take_inbox_deleted(w);
  else if (kind == "trouble")
    take_trouble_of_class(w, event);
  else
    return false;
  return true;
}

}  // namespace intercusp
