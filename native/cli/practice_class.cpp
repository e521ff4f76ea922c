// Sets for a class in the terminal: made, on a server where they are graded, and their results marked.
#include <cstdio>

#include <nlohmann/json.hpp>

#include "cli/case_access.h"
#include "cli/commands.h"
#include "cli/practice_options.h"
#include "practice/gathering.h"
#include "practice/question_json.h"
#include "practice/result_lines.h"
#include "practice/set_link.h"
#include "share/class_inbox.h"
#include "share/graded_line.h"
#include "share/signed_result.h"

namespace intercusp::cli {

using nlohmann::json;

namespace {

Result<std::vector<QuestionKind>> kinds_of(const std::vector<std::string>& ids) {
  std::vector<QuestionKind> kinds;
  for (const std::string& id : ids) {
    const auto kind = kind_of(id);
    if (!kind)
      return Error{"there is no kind of question \"" + id + "\"", "--kinds", "see `intercusp practice --list`"};
    kinds.push_back(*kind);
  }
  if (kinds.empty())
    for (const KindInfo& info : question_kinds()) kinds.push_back(info.kind);
  return kinds;
}

}  // namespace

Result<QuestionSet> set_from(const PracticeOptions& o) {
  auto kinds = kinds_of(o.kinds);
  if (!kinds) return kinds.error();
  QuestionSet set;
  set.title = o.title;
  set.seed = o.seed;
  set.count = o.count;
  set.kinds = std::move(kinds).value();
  set.difficulty = o.difficulty;
  set.seconds = o.seconds;
  set.tools = tools_of(o.tools).value_or(PracticeTools::model);
  return set;
}

namespace {

std::string with_slash(const std::string& server) {
  return server.back() == '/' ? server : server + "/";
}

/// A set made: the teacher's code, and what the students' link holds.
struct SetCodes {
  std::string teacher, student;
  std::string server;  ///< with a slash; empty: no server has to do with it
};

/// On a server where it is to be graded.
Result<SetCodes> codes_of_set(const PracticeOptions& o, const QuestionSet& set) {
  const std::string code = set_code(set);
  if (o.graded.empty()) return SetCodes{code, code, o.inbox.empty() ? "" : with_slash(o.inbox)};
  const std::string server = with_slash(o.graded);
  auto made = share::make_graded(server, code, o.days);
  if (!made) return made.error();
  return SetCodes{made.value().set, made.value().ticket, server};
}

/// The link of a set for its students, with an inbox where one was asked for; empty where no server has to do with it.
Result<std::string> link_of_set(const PracticeOptions& o, const SetCodes& codes) {
  if (codes.server.empty()) return std::string();
  if (o.inbox.empty()) return codes.server + "#" + codes.student;
  const auto made = share::make_inbox(with_slash(o.inbox), codes.teacher, o.days);
  if (!made) return made.error();
  return codes.server + "#" + set_fragment(codes.student, made.value().address);
}

/// What the teacher keeps of a graded set: its code with the inbox, to mark by.
std::string teachers_text(const SetCodes& codes, const std::string& link) {
  const auto read = read_set_link(link);
  return set_fragment(codes.teacher, read ? read.value().inbox : std::nullopt);
}

void print_set(const PracticeOptions& o, const QuestionSet& set, const SetCodes& codes, const std::string& link) {
  const bool graded = codes.student != codes.teacher;
  const std::string mine = graded ? teachers_text(codes, link) : codes.teacher;
  if (o.format == "json")
    std::printf("%s\n", json{{"set", mine},
                             {"link", link},
                             {"graded", graded},
                             {"questions", set.count},
                             {"tools", tools_words(set.tools)}}
                            .dump(2)
                            .c_str());
  else if (graded)
    std::printf("Link for the students: %s\nYour set code: %s\n", link.c_str(), mine.c_str());
  else
    std::printf("%s\n", link.empty() ? mine.c_str() : link.c_str());
}

}  // namespace

int make_a_set(const PracticeOptions& o) {
  if (o.count > kMostQuestions)
    return fail({"a set holds at most " + std::to_string(kMostQuestions) + " questions, not " + std::to_string(o.count),
                 "--count", "ask for fewer, or make several sets with different seeds"});
  const auto set = set_from(o);
  if (!set) return fail(set.error());
  if (!o.graded.empty() && !o.inbox.empty() && with_slash(o.graded) != with_slash(o.inbox))
    return fail({"a graded set and its inbox are on one server", "--inbox", "name the same server as with --graded"});
  const auto codes = codes_of_set(o, set.value());
  if (!codes) return fail(codes.error());
  const auto link = link_of_set(o, codes.value());
  if (!link) return fail(link.error());
  print_set(o, set.value(), codes.value(), link.value());
  note(o.graded.empty()
           ? "For self-practice: whoever knows the program well can work the answers out of the code. It is "
             "no examination."
           : "The link is for the students. Keep the set code to yourself: whoever has it knows the answers.");
  return kDone;
}

namespace {

/// The codes in the inbox of the set, one a line; what does not open is said.
Result<std::string> fetched_text(const SetLink& link) {
  if (!link.inbox) return Error{"this set has no inbox", "--fetch", "name its whole link with --set"};
  const auto fetched = share::fetch_inbox(link.inbox->folder, link.results_of);
  if (!fetched) return fetched.error();
  std::string text;
  for (const std::string& code : fetched.value().results) text += code + "\n";
  for (const std::string& why : fetched.value().left_out) note("A result was left out: " + why);
  return text;
}

Result<std::string> text_of_results(const PracticeOptions& o, const SetLink& link) {
  if (o.fetch) return fetched_text(link);
  const auto bytes = read_file(o.gather);
  if (!bytes) return Error{"the file of results cannot be read", o.gather, "put one result code on each line"};
  return std::string(bytes.value().begin(), bytes.value().end());
}

/// Every sound result of the file or the inbox; what is wrong with the others is said line by line.
Result<ResultLines> read_results(const PracticeOptions& o, const SetLink& link) {
  const auto text = text_of_results(o, link);
  if (!text) return text.error();
  ResultLines lines = read_result_lines(link.results_of, text.value());
  for (std::size_t i = lines.results.size(); i-- > 0;)
    if (!share::signature_fits(lines.results[i])) refuse_signature(lines, i);
  for (const LineTrouble& trouble : lines.troubles)
    note((o.fetch ? "the inbox" : o.gather) + ", " + trouble_words(trouble));
  if (lines.repeated > 0)
    note(std::to_string(lines.repeated) + " codes stand there more than once: each was counted once");
  return lines;
}

json gathered_json(const GatheredSet& g) {
  json report = {{"questions", json::array()}, {"students", json::array()}};
  for (std::size_t i = 0; i < g.questions.size(); ++i) {
    const QuestionSummary& s = g.summaries[i];
    json j = question_json(g.questions[i]);
    j.update({{"right", s.right}, {"near", s.near}, {"wrong", s.wrong}, {"usual_wrong", s.usual_wrong}});
    report["questions"].push_back(j);
  }
  for (const MarkedResult& r : g.results) {
    json marks = json::array();
    for (const Mark& mark : r.marks) marks.push_back(mark_json(mark));
    report["students"].push_back({{"by", r.by}, {"key", signer_words(r)}, {"credit", r.credit}, {"marks", marks}});
  }
  return report;
}

}  // namespace

int gather_results(const PracticeOptions& o) {
  if (o.set.empty()) return fail({"the set of these results is not named", "--set", "add --set CODE"});
  const auto link = read_set_link(o.set);
  if (!link) return fail(link.error());
  if (link.value().ticket)
    return fail(
        {"this is the students' link of a graded set", "--set", "name your own set code: it marks the answers"});
  const auto lines = read_results(o, link.value());
  if (!lines) return fail(lines.error());
  if (lines.value().results.empty() && !lines.value().troubles.empty()) return kBad;
  std::vector<SetResult> results;
  for (const ReadResult& read : lines.value().results) results.push_back(read.result);
  std::vector<PracticeQuestion> questions;
  for (const QuestionSpec& spec : questions_of(link.value().set)) {
    auto made = make_question(spec);
    if (!made) return fail(made.error());
    questions.push_back(std::move(made.value().question));
  }
  const GatheredSet g = gather(std::move(questions), results);
  std::printf("%s", o.format == "json"  ? (gathered_json(g).dump(2) + "\n").c_str()
                    : o.format == "csv" ? gathered_csv(g).c_str()
                                        : gathered_text(g).c_str());
  return lines.value().troubles.empty() ? kDone : kOutsideLimit;
}

}  // namespace intercusp::cli
