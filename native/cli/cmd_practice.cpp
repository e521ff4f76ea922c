// Questions in the terminal: asked, answered from the keyboard or a file, marked as on the screen.
#include <unistd.h>

#include <chrono>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>

#include <nlohmann/json.hpp>

#include "anatomy/fixed_random.h"
#include "base/calendar.h"
#include "casebook/case_file.h"
#include "cli/case_access.h"
#include "cli/commands.h"
#include "formats/png.h"
#include "practice/gathering.h"
#include "practice/picture.h"
#include "practice/progress.h"
#include "practice/question_json.h"
#include "practice/result_lines.h"
#include "practice/set_link.h"
#include "share/class_inbox.h"
#include "share/signed_result.h"

namespace intercusp::cli {

using nlohmann::json;

namespace {

struct PracticeOptions {
  unsigned seed = 1;
  int count = 10, difficulty = 0, seconds = 0;
  std::vector<std::string> kinds;
  std::string set, answers, pictures, progress, by, gather, landmarks, cases, title, tools = "model", format = "text";
  std::string inbox;
  bool make_set = false, list = false, send = false, fetch = false;
  int days = 30;
  std::optional<long> day;
};

double seconds_now() {
  using namespace std::chrono;
  return duration<double>(steady_clock::now().time_since_epoch()).count();
}

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

Result<QuestionSet> set_from(const PracticeOptions& o) {
  if (!o.set.empty()) {
    auto link = read_set_link(o.set);
    if (!link) return link.error();
    return std::move(link).value().set;
  }
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

int list_kinds() {
  for (const KindInfo& info : question_kinds()) std::printf("%-12s %s\n", info.id, info.skill);
  return kDone;
}

/// The folder, made where it is missing.
Status make_folder(const std::string& folder) {
  std::error_code trouble;
  std::filesystem::create_directories(folder, trouble);
  if (trouble) return Error{"the folder cannot be made: " + trouble.message(), folder, "name another"};
  return Done{};
}

std::string numbered(const std::string& folder, std::size_t number, const std::string& end) {
  return folder + "/question-" + (number < 9 ? "0" : "") + std::to_string(number + 1) + end;
}

Status write_pictures(const MadeQuestion& made, const Case& c, const std::string& folder, std::size_t number) {
  std::vector<PictureBody> bodies;
  for (const Body& body : c.bodies)
    if (body.surface && body.name.find("roots") == std::string::npos)
      bodies.push_back({&body.surface->mesh(), c.patient_from_scans, is_upper_name(body.name)});
  for (int i = 0; i < kRecordViews; ++i) {
    const auto view = static_cast<RecordView>(i);
    const Picture p = draw_record_view(bodies, view, 800, 600, made.question.marked ? &*made.question.marked : nullptr);
    const Status written = save_atomically(numbered(folder, number, std::string("-") + record_view_name(view) + ".png"),
                                           write_png(p.width, p.height, p.rgb), true);
    if (!written) return written.error();
  }
  return Done{};
}

/// Writes what was asked for beside the question.
Status write_beside(const MadeQuestion& made, const PracticeOptions& o, std::size_t number) {
  if (!o.landmarks.empty()) {
    PointMap points;
    for (const auto& [name, mark] : made.jaws.landmarks) points[name] = mark.at;
    const std::string text = write_landmarks(points);
    if (const Status s = save_atomically(numbered(o.landmarks, number, ".json"), {text.begin(), text.end()}, true); !s)
      return s.error();
  }
  if (o.pictures.empty() && o.cases.empty()) return Done{};
  const auto c = case_of(made, 40000);
  if (!c) return c.error();
  if (!o.cases.empty()) {
    const Status s = save_atomically(numbered(o.cases, number, ".glb"), write_case(c.value()), true);
    if (!s) return s.error();
  }
  return o.pictures.empty() ? Status(Done{}) : write_pictures(made, c.value(), o.pictures, number);
}

void print_question(const PracticeQuestion& question, std::size_t number, const std::string& of) {
  std::printf("Question %zu%s: %s, difficulty %d\n", number + 1, of.c_str(), info_of(question.spec.kind).skill,
              question.spec.difficulty);
  if (!question.sheet.empty()) std::printf("%s\n", question.sheet.c_str());
  std::printf("%s\n", question.prompt.c_str());
  for (std::size_t i = 0; i < question.choices.size(); ++i)
    std::printf("  %zu  %s\n", i + 1, question.choices[i].words.c_str());
  if (question.marked) {
    const Vec3& p = *question.marked;
    std::printf("Marked at %.1f %.1f %.1f mm (patient's left, backwards, up)\n", p.x(), p.y(), p.z());
  }
  std::printf("Answer with %s: ", how_to_answer(question).c_str());
  std::fflush(stdout);
}

void print_mark(const PracticeQuestion& question, const Mark& mark) {
  const std::string verdict = verdict_word(mark.verdict);
  std::printf("%s%s", verdict.c_str(), mark.credit > 0 && mark.credit < 1 ? " (partly counted)" : "");
  std::printf(". You answered: %s. It is: %s.\n", mark.seen.c_str(), mark.meant.c_str());
  if (!mark.why.empty()) std::printf("%s\n", mark.why.c_str());
  if (!question.note.empty()) std::printf("%s\n", question.note.c_str());
  // The whole definition stands in docs/methods.md.
  const std::string first = question.definition.substr(0, question.definition.find(". "));
  std::printf("%s\nDefinition after: %s\n\n", first.c_str(), question.source.c_str());
}

/// Lines of answers: from the keyboard, a pipe or a file.
class AnswerLines {
 public:
  explicit AnswerLines(const std::string& path) : keyboard_(path.empty() && isatty(fileno(stdin))) {
    if (!path.empty()) file_.open(path);
    named_ = !path.empty();
  }
  bool fine() const { return !named_ || file_.is_open(); }
  bool keyboard() const { return keyboard_; }
  std::optional<std::string> next() {
    std::istream& in = named_ ? static_cast<std::istream&>(file_) : std::cin;
    for (std::string line; std::getline(in, line);)
      if (line.empty() || line[0] != '#') return line;
    return std::nullopt;
  }

 private:
  bool keyboard_, named_ = false;
  std::ifstream file_;
};

struct Asked {
  PracticeQuestion question;
  std::optional<Mark> mark;
  GivenAnswer given;
};

/// One run of questions.
class Session {
 public:
  Session(const PracticeOptions& o, QuestionSet set, PracticeProgress progress)
      : options_(o),
        set_(std::move(set)),
        progress_(std::move(progress)),
        lines_(o.answers),
        first_(progress_.answers().size()) {}

  Status run();
  const PracticeProgress& progress() const { return progress_; }
  int report() const;
  std::string code_of_result() const;

 private:
  long day() const { return options_.day.value_or(day_today()); }
  QuestionSpec spec_at(std::size_t i, const std::vector<QuestionSpec>& specs) const {
    if (options_.progress.empty() || !options_.set.empty()) return specs[i];
    const unsigned fresh = 1 + FixedRandom(set_.seed + 1000003ull * progress_.answers().size()).below(999999999);
    return progress_.next(set_.kinds, day(), fresh);
  }
  /// False when no more answers come.
  bool ask(Asked& asked);
  json json_report() const;
  SetResult result() const;

  const PracticeOptions& options_;
  QuestionSet set_;
  PracticeProgress progress_;
  AnswerLines lines_;
  std::size_t first_;
  std::vector<Asked> asked_;
};

bool Session::ask(Asked& asked) {
  const double begin = seconds_now();
  for (;;) {
    const auto line = lines_.next();
    if (!line) return false;
    asked.given.text = *line;
    if (lines_.keyboard()) asked.given.seconds = seconds_now() - begin;
    const auto answer = read_answer(asked.question, *line);
    if (!answer && lines_.keyboard()) {
      note(answer.error().sentence());
      continue;
    }
    const bool late = set_.seconds > 0 && asked.given.seconds > set_.seconds;
    if (answer && !late) {
      asked.given.text = answer_text(asked.question, answer.value());
      asked.mark = mark_answer(asked.question, answer.value());
      return true;
    }
    asked.mark.emplace();
    asked.mark->seen = late ? "too late" : "not readable: " + answer.error().remedy;
    asked.mark->meant = asked.question.truth_words;
    if (late) asked.given.text.clear();
    return true;
  }
}

Status Session::run() {
  if (!lines_.fine()) return Error{"the file of answers cannot be read", options_.answers, "name one line an answer"};
  const std::vector<QuestionSpec> specs = questions_of(set_);
  const bool text = options_.format == "text";
  bool more = true;
  for (std::size_t i = 0; i < specs.size(); ++i) {
    auto made = make_question(spec_at(i, specs));
    if (!made) return made.error();
    if (const Status s = write_beside(made.value(), options_, i); !s) return s.error();
    Asked asked{std::move(made.value().question), std::nullopt, {}};
    if (text) print_question(asked.question, i, " of " + std::to_string(specs.size()));
    more = more && ask(asked);
    if (text) std::printf("\n");
    if (asked.mark) {
      if (text) print_mark(asked.question, *asked.mark);
      progress_.take(asked.question, *asked.mark, day());
    }
    asked_.push_back(std::move(asked));
    if (!more && text) break;
  }
  return Done{};
}

SetResult Session::result() const {
  SetResult result;
  result.by = options_.by;
  for (const Asked& asked : asked_) result.answers.push_back(asked.mark ? asked.given : GivenAnswer{});
  return result;
}

/// Signed with this person's key; where none can be kept, a result that says so by its form.
std::string Session::code_of_result() const {
  // The set was read from this text when the session began.
  const std::string code = read_set_link(options_.set).value().code;
  const auto with_key = share::signed_result(code, result());
  if (with_key) return with_key.value();
  note("The result is not signed: " + with_key.error().sentence());
  return result_code(code, result());
}

json Session::json_report() const {
  json questions = json::array();
  double credit = 0;
  for (const Asked& asked : asked_) {
    json j = question_json(asked.question);
    j["key"] = key_json(asked.question);
    if (asked.mark) {
      j["answer"] = asked.given.text;
      j["mark"] = mark_json(*asked.mark);
      credit += asked.mark->credit;
    }
    questions.push_back(j);
  }
  json report = {{"practice", kPracticeVersion}, {"questions", questions}, {"credit", credit}};
  if (!options_.set.empty()) report["result"] = code_of_result();
  return report;
}

int Session::report() const {
  if (options_.format == "json") {
    std::printf("%s\n", json_report().dump(2).c_str());
    return kDone;
  }
  if (options_.format == "csv") {
    std::vector<PracticeQuestion> questions;
    for (const Asked& asked : asked_) questions.push_back(asked.question);
    std::printf("%s", gathered_csv(gather(std::move(questions), {result()})).c_str());
    return kDone;
  }
  const std::string words = session_report(progress_, first_);
  if (!words.empty()) std::printf("%s", words.c_str());
  if (!options_.set.empty()) std::printf("Result code (pass it to your teacher):\n%s\n", code_of_result().c_str());
  std::printf("Generated jaws, for practice only: no patient, and no advice on one.\n");
  return kDone;
}

/// The link to a set whose results go to an inbox that is made for them; empty where none was asked for.
Result<std::string> link_of_set(const PracticeOptions& o, const std::string& code) {
  if (o.inbox.empty()) return std::string();
  const std::string server = o.inbox.back() == '/' ? o.inbox : o.inbox + "/";
  const auto made = share::make_inbox(server, code, o.days);
  if (!made) return made.error();
  return server + "#" + set_fragment(code, made.value().address);
}

int make_a_set(const PracticeOptions& o) {
  if (o.count > kMostQuestions)
    return fail({"a set holds at most " + std::to_string(kMostQuestions) + " questions, not " + std::to_string(o.count),
                 "--count", "ask for fewer, or make several sets with different seeds"});
  const auto set = set_from(o);
  if (!set) return fail(set.error());
  const std::string code = set_code(set.value());
  const auto link = link_of_set(o, code);
  if (!link) return fail(link.error());
  if (o.format == "json")
    std::printf("%s\n", json{{"set", code},
                             {"link", link.value()},
                             {"questions", set.value().count},
                             {"tools", tools_words(set.value().tools)}}
                            .dump(2)
                            .c_str());
  else
    std::printf("%s\n", link.value().empty() ? code.c_str() : link.value().c_str());
  note("For self-practice: whoever knows the program well can work the answers out of the code. It is no examination.");
  return kDone;
}

/// The codes in the inbox of the set, one a line; what does not open is said.
Result<std::string> fetched_text(const SetLink& link) {
  if (!link.inbox) return Error{"this set has no inbox", "--fetch", "name its whole link with --set"};
  const auto fetched = share::fetch_inbox(link.inbox->folder, link.code);
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
  ResultLines lines = read_result_lines(link.code, text.value());
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

int gather_results(const PracticeOptions& o) {
  if (o.set.empty()) return fail({"the set of these results is not named", "--set", "add --set CODE"});
  const auto link = read_set_link(o.set);
  if (!link) return fail(link.error());
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

Result<PracticeProgress> progress_from(const std::string& path) {
  if (path.empty() || !std::filesystem::exists(path)) return PracticeProgress();
  const auto bytes = read_file(path);
  if (!bytes) return bytes.error();
  auto progress = PracticeProgress::from_json_text({bytes.value().begin(), bytes.value().end()});
  if (!progress) return Error{progress.error().what, path, progress.error().remedy};
  return progress;
}

/// Sends a result to the inbox that the set's link names.
int send_handed_in(const PracticeOptions& o, const std::string& result) {
  const auto link = read_set_link(o.set);
  if (!link) return fail(link.error());
  const Status sent = share::send_to_inbox(link.value().server, *link.value().inbox, link.value().code, result);
  if (!sent) return fail(sent.error());
  note("Sent to the teacher's inbox.");
  return kDone;
}

/// Whether the result of this set can be sent; before anything is asked.
Status check_sending(const PracticeOptions& o) {
  const auto link = read_set_link(o.set);
  if (link && link.value().inbox && !link.value().server.empty()) return Done{};
  return Error{"nothing says where the result is to go", "--send",
               "name the whole link of a set with an inbox: --set LINK"};
}

int run(const PracticeOptions& o) {
  if (o.list) return list_kinds();
  if (o.make_set) return make_a_set(o);
  if (!o.gather.empty() || o.fetch) return gather_results(o);
  if (o.send)
    if (const Status can = check_sending(o); !can) return fail(can.error());
  auto set = set_from(o);
  if (!set) return fail(set.error());
  auto progress = progress_from(o.progress);
  if (!progress) return fail(progress.error());
  for (const std::string& folder : {o.pictures, o.landmarks, o.cases})
    if (!folder.empty())
      if (const Status made = make_folder(folder); !made) return fail(made.error());
  Session session(o, std::move(set).value(), std::move(progress).value());
  if (const Status done = session.run(); !done) return fail(done.error());
  if (!o.progress.empty()) {
    const std::string text = session.progress().to_json_with_skills().dump(1) + "\n";
    if (const Status saved = save_atomically(o.progress, {text.begin(), text.end()}, true); !saved)
      return fail(saved.error());
  }
  const int reported = session.report();
  return reported == kDone && o.send ? send_handed_in(o, session.code_of_result()) : reported;
}

}  // namespace

Run add_practice(CLI::App& app) {
  auto o = std::make_shared<PracticeOptions>();
  app.add_option("--seed", o->seed, "the same questions for the same number (default 1)")
      ->check(CLI::Range(1, 999999999));
  app.add_option("--count", o->count, "how many (default 10; at most 2000, of a set made 100)")
      ->check(CLI::Range(1, 2000));
  app.add_option("--kinds", o->kinds, "only these kinds, separated by commas (default: all)")->delimiter(',');
  app.add_option("--difficulty", o->difficulty, "1 (easiest) to 7; 0: rising from 2 to 6 (default)")
      ->check(CLI::Range(0, 7));
  app.add_option("--set", o->set,
                 "a teacher's set, code or link: asks its questions and prints a result code at the end");
  app.add_option("--answers", o->answers, "a file with one answer a line, instead of typing them");
  app.add_option("--pictures", o->pictures, "writes the five views of each question as PNG into this folder");
  app.add_option("--landmarks", o->landmarks, "writes the landmarks of each question into this folder");
  app.add_option("--cases", o->cases, "writes the case of each question into this folder");
  app.add_option("--progress", o->progress, "reads and writes this progress file; questions then fit your level");
  app.add_option("--by", o->by, "a name or label for the result code");
  app.add_flag("--make-set", o->make_set,
               "prints a set code of --seed, --count, --kinds, --difficulty, --seconds, --tools");
  app.add_option("--title", o->title, "of the set made");
  app.add_option("--seconds", o->seconds, "time for each question of the set made; 0: no limit")
      ->check(CLI::Range(0, 3600));
  app.add_option("--tools", o->tools, "what the set made allows: views, model or probe")
      ->check(CLI::IsMember({"views", "model", "probe"}));
  app.add_option("--gather", o->gather,
                 "reads result codes of --set, one a line, and marks them as a table; ends with 1 where some were bad");
  app.add_option("--inbox", o->inbox,
                 "makes an inbox for the results of the set made on this server, and prints the link");
  app.add_option("--days", o->days, "that the inbox is kept (default 30)")->check(CLI::Range(1, 365));
  app.add_flag("--send", o->send, "sends the result of --set LINK to its teacher's inbox");
  app.add_flag("--fetch", o->fetch, "like --gather, with what came into the inbox of --set LINK");
  app.add_option("--day", o->day, "counts as today: days since 1970-01-01");
  app.add_flag("--list", o->list, "lists the kinds of questions");
  add_format(app, o->format);
  return [o] { return run(*o); };
}

}  // namespace intercusp::cli
