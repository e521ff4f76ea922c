#include "app/work/class_parts.h"

#include <algorithm>
#include <cmath>

#include "app/work/command_table.h"
#include "app/work/practice.h"
#include "app/work/set_args.h"
#include "base/base64.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

const char* const kMakingWords = "Making the questions to mark by";

std::optional<double> typed_number(const std::string& text) {
  if (text.empty() || text.size() > 9 || text.find_first_not_of("0123456789") != std::string::npos) return std::nullopt;
  return std::stod(text);
}

/// Those with something in them.
std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    std::string line = text.substr(at, end - at);
    at = end + 1;
    if (!line.empty() && line.back() == '\r') line.pop_back();
    if (line.find_first_not_of(" \t") != std::string::npos) lines.push_back(std::move(line));
  }
  return lines;
}

/// Asks the host about every signature; without keys here none counts.
void ask_about_signatures(Workspace& w) {
  ClassWork& c = *w.class_work;
  Json results = Json::array();
  for (const ReadResult& read : c.lines->results)
    if (!read.result.key.empty())
      results.push_back({{"key", base64url(read.result.key)},
                         {"signature", base64url(read.signature)},
                         {"bytes", base64url(read.signed_bytes)}});
  static int numbers = 0;
  c.check = results.empty() ? 0 : ++numbers;
  c.cannot_check = c.check != 0 && !w.host.practice({{"ask", "check"}, {"number", c.check}, {"results", results}});
  if (c.cannot_check) c.check = 0;
}

Status make_next(Workspace& w);

Status take_question(Workspace& w, const std::string& code, std::size_t number, ErrandAnswer& answer) {
  if (!w.class_work || w.class_work->link.code != code || w.class_work->questions.size() != number) return Done{};
  ClassWork& c = *w.class_work;
  if (const auto* error = std::get_if<Error>(&answer)) {
    c.marking = false;
    return *error;
  }
  if (auto* asked = std::get_if<QuestionAsked>(&answer)) c.questions.push_back(std::move(asked->question));
  if (!c.marking) return Done{};
  if (!all_made(c)) return make_next(w);
  mark_if_ready(w);
  return Done{};
}

Status make_next(Workspace& w) {
  ClassWork& c = *w.class_work;
  const std::size_t number = c.questions.size();
  const std::string words =
      std::string(kMakingWords) + ": " + std::to_string(number + 1) + " of " + std::to_string(c.link.set.count);
  return w.errands.go(
      AskQuestion{questions_of(c.link.set)[number]}, words,
      [&w, code = c.link.code, number](ErrandAnswer& answer) { return take_question(w, code, number, answer); });
}

}  // namespace

bool all_made(const ClassWork& c) {
  return c.questions.size() == static_cast<std::size_t>(c.link.set.count);
}

void mark_if_ready(Workspace& w) {
  ClassWork& c = *w.class_work;
  if (!c.marking || c.check != 0 || !all_made(c)) return;
  c.marking = false;
  std::vector<SetResult> results;
  for (const ReadResult& read : c.lines->results) {
    results.push_back(read.result);
    if (c.cannot_check) results.back().key.clear();
  }
  c.gathered = gather(c.questions, results);
  c.one_hand = one_hand_words(*c.gathered);
  c.first_question = 0;
  w.host.announce(std::to_string(results.size()) + " results marked, " + std::to_string(c.lines->troubles.size()) +
                  " left out");
  w.wake();
}

void open_class_page(Workspace& w, ClassPage page) {
  if (w.practice) leave_practice(w);
  w.popover = Popover::none;
  if (!w.class_work) {
    w.class_work = std::make_shared<ClassWork>();
    ClassWork& c = *w.class_work;
    c.draft.seed = fresh_seed(w);
    c.draft.kinds = {QuestionKind::molar_relation, QuestionKind::canine_relation, QuestionKind::overjet,
                     QuestionKind::overbite, QuestionKind::midline};
    c.earlier = kept_sets(w);
    if (!c.earlier.empty()) {
      const auto inbox = read_inbox(c.earlier.front().inbox);
      c.set_text = set_fragment(c.earlier.front().code, inbox);
    }
  }
  w.class_open = true;
  w.class_work->page = page;
  w.wake();
}

void leave_class_page(Workspace& w) {
  w.class_open = false;
  if (!w.has_case) w.popover = Popover::start;
  w.wake();
}

std::string fresh_seed(Workspace& w) {
  const auto ms = static_cast<std::uint64_t>(std::max<std::int64_t>(0, w.host.stamp().time_ms));
  return std::to_string(1 + ms % 999999999);
}

Result<QuestionSet> drafted_set(const SetDraft& draft) {
  const auto seed = typed_number(draft.seed), count = typed_number(draft.count);
  if (!seed || *seed < 1) return Error{"the seed is a whole number from 1 to 999999999", "", ""};
  if (!count || *count < 1 || *count > kMostQuestions) return Error{"a set has 1 to 100 questions", "", ""};
  if (draft.kinds.empty()) return Error{"choose at least one kind of question", "", ""};
  QuestionSet set;
  set.title = draft.title;
  set.seed = static_cast<unsigned>(*seed);
  set.count = static_cast<int>(*count);
  set.kinds.assign(draft.kinds.begin(), draft.kinds.end());
  set.difficulty = draft.difficulty;
  set.seconds = draft.seconds;
  set.tools = draft.tools;
  return set;
}

namespace {

int days_of(const SetDraft& draft) {
  return std::clamp(draft.days, 1, kMostInboxDays);
}

}  // namespace

Status make_class_set(Workspace& w) {
  ClassWork& c = *w.class_work;
  const auto set = drafted_set(c.draft);
  if (!set) return set.error();
  const std::string code = set_code(set.value());
  c.server_trouble.clear();
  if (!c.draft.graded) return make_inbox_or_take(w, code, code);
  c.fragment.clear();
  c.asking_server = w.host.practice({{"ask", "graded"}, {"set", code}, {"days", days_of(c.draft)}});
  if (!c.asking_server) return Error{"a graded set needs a server, and there is none here", "", "make an ordinary set"};
  return Done{};
}

Status make_inbox_or_take(Workspace& w, const std::string& code, const std::string& student_code) {
  ClassWork& c = *w.class_work;
  c.student_code = student_code;
  if (!c.draft.inbox) {
    take_made(w, code, std::nullopt, 0);
    return Done{};
  }
  c.fragment.clear();
  c.asking_server = w.host.practice({{"ask", "inbox"}, {"set", code}, {"days", days_of(c.draft)}});
  if (!c.asking_server)
    return Error{"there are no keys here to seal results with", "", "make the set without an inbox"};
  return Done{};
}

std::string class_link(const Workspace& w) {
  const ClassWork& c = *w.class_work;
  return c.fragment.empty() ? "" : w.host.link_for(c.fragment);
}

std::size_t add_results(Workspace& w, const std::string& text) {
  std::string& all = w.class_work->results_text;
  const std::vector<std::string> there = lines_of(all);
  std::set<std::string> known(there.begin(), there.end());
  std::size_t added = 0;
  for (const std::string& line : lines_of(text)) {
    if (!known.insert(line).second) continue;
    if (!all.empty() && all.back() != '\n') all += '\n';
    all += line + "\n";
    ++added;
  }
  w.wake();
  return added;
}

Status gather_class(Workspace& w) {
  ClassWork& c = *w.class_work;
  auto link = read_set_link(c.set_text);
  if (!link) return link.error();
  if (link.value().ticket)
    return Error{"this is the students' link of a graded set", "the set",
                 "paste your own set code: it marks the answers"};
  if (link.value().code != c.link.code) c.questions.clear();
  c.link = std::move(link).value();
  c.gathered.reset();
  c.one_hand.clear();
  c.lines = read_result_lines(c.link.results_of, c.results_text);
  if (c.lines->results.empty() && c.lines->troubles.empty())
    return Error{"there is no result code yet", "", "paste the codes of your students, one a line"};
  c.marking = true;
  ask_about_signatures(w);
  if (!all_made(c)) return make_next(w);
  mark_if_ready(w);
  return Done{};
}

void tend_class(Workspace& w) {
  if (!w.class_work) return;
  ClassWork& c = *w.class_work;
  const bool waits_for_question = c.marking && !all_made(c);
  if (waits_for_question && w.errands.has_runner() && !w.errands.busy()) c.marking = false;  // it was stopped
}

}  // namespace intercusp
