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
#include "cli/practice_options.h"
#include "formats/png.h"
#include "practice/gathering.h"
#include "practice/picture.h"
#include "practice/progress.h"
#include "practice/question_json.h"
#include "practice/set_link.h"
#include "practice/shown_question.h"
#include "share/class_inbox.h"
#include "share/graded_line.h"
#include "share/signed_result.h"

namespace intercusp::cli {

using nlohmann::json;

namespace {

double seconds_now() {
  using namespace std::chrono;
  return duration<double>(steady_clock::now().time_since_epoch()).count();
}

/// What is asked: the set that was named, or one of the options.
Result<SetLink> link_from(const PracticeOptions& o) {
  if (!o.set.empty()) return read_set_link(o.set);
  auto set = set_from(o);
  if (!set) return set.error();
  SetLink link;
  link.set = std::move(set).value();
  return link;
}

/// What of the options cannot be with a graded set.
Status check_graded(const PracticeOptions& o, const SetLink& link) {
  if (!link.ticket) return Done{};
  if (link.server.empty())
    return Error{"a graded set's questions come from its server, which a code alone does not say", "--set",
                 "name the whole link"};
  if (!o.landmarks.empty()) return Error{"a graded set gives no landmarks away", "--landmarks", "leave it out"};
  if (o.format == "csv")
    return Error{"a graded set is marked by its teacher, not here", "--format csv", "use text or json"};
  return Done{};
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

Status write_pictures(const PracticeQuestion& question, const Case& c, const std::string& folder, std::size_t number) {
  std::vector<PictureBody> bodies;
  for (const Body& body : c.bodies)
    if (body.surface && body.name.find("roots") == std::string::npos)
      bodies.push_back({&body.surface->mesh(), c.patient_from_scans, is_upper_name(body.name)});
  for (int i = 0; i < kRecordViews; ++i) {
    const auto view = static_cast<RecordView>(i);
    const Picture p = draw_record_view(bodies, view, 800, 600, question.marked ? &*question.marked : nullptr);
    const Status written = save_atomically(numbered(folder, number, std::string("-") + record_view_name(view) + ".png"),
                                           write_png(p.width, p.height, p.rgb), true);
    if (!written) return written.error();
  }
  return Done{};
}

/// The case and its pictures, where they were asked for.
Status write_case_beside(const PracticeQuestion& question, const Case& c, const PracticeOptions& o,
                         std::size_t number) {
  if (!o.cases.empty()) {
    const Status s = save_atomically(numbered(o.cases, number, ".glb"), write_case(c), true);
    if (!s) return s.error();
  }
  return o.pictures.empty() ? Status(Done{}) : write_pictures(question, c, o.pictures, number);
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
  return write_case_beside(made.question, c.value(), o, number);
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
  std::optional<Mark> mark;  ///< none in a graded set, and where no answer came
  GivenAnswer given;
  bool came = false;  ///< an answer, if only one that nobody can read
};

/// One run of questions.
class Session {
 public:
  Session(const PracticeOptions& o, SetLink link, PracticeProgress progress)
      : options_(o),
        link_(std::move(link)),
        set_(link_.set),
        progress_(std::move(progress)),
        lines_(o.answers),
        first_(progress_.answers().size()) {}

  Status run();
  /// The server of a graded set went away between two questions; what was answered before is there.
  bool cut_off() const { return cut_off_; }
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
  Status run_graded();
  /// False when no more answers come.
  bool ask(Asked& asked);
  void take(Asked& asked, const Result<PracticeAnswer>& answer) const;
  json json_report() const;
  SetResult result() const;

  const PracticeOptions& options_;
  SetLink link_;  ///< without a code where questions are of no set
  const QuestionSet& set_;
  PracticeProgress progress_;
  AnswerLines lines_;
  std::size_t first_;
  std::vector<Asked> asked_;
  bool cut_off_ = false;
};

/// An answer in time or late, readable or not.
void Session::take(Asked& asked, const Result<PracticeAnswer>& answer) const {
  const bool late = set_.seconds > 0 && asked.given.seconds > set_.seconds;
  asked.came = true;
  if (answer) asked.given.text = answer_text(asked.question, answer.value());
  if (late) asked.given.text.clear();
  if (link_.ticket) return;
  if (answer && !late) {
    asked.mark = mark_answer(asked.question, answer.value());
    return;
  }
  asked.mark.emplace();
  asked.mark->seen = late ? "too late" : "not readable: " + answer.error().remedy;
  asked.mark->meant = asked.question.truth_words;
}

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
    take(asked, answer);
    return true;
  }
}

/// The questions of a graded set, as the server gives them out. Nothing is marked here.
Status Session::run_graded() {
  const bool text = options_.format == "text";
  bool more = true;
  for (int i = 0; i < set_.count; ++i) {
    const auto number = static_cast<std::size_t>(i);
    const auto bytes = share::graded_question(link_.server, link_.ticket->sealed, i);
    if (!bytes && asked_.empty()) return bytes.error();
    if (!bytes) {
      cut_off_ = true;
      note(bytes.error().sentence());
      note("What you answered so far is kept in the result code; the set can be begun again with the same link.");
      break;
    }
    auto read = read_shown_question(bytes.value().data(), bytes.value().size());
    if (!read) return read.error();
    Asked asked{std::move(read.value().question), std::nullopt, {}};
    if (const Status s = write_case_beside(asked.question, read.value().shown, options_, number); !s) return s.error();
    if (text) print_question(asked.question, number, " of " + std::to_string(set_.count));
    more = more && ask(asked);
    if (text) std::printf(asked.came && !asked.given.text.empty() ? "\nKept.\n\n" : "\nNot answered.\n\n");
    asked_.push_back(std::move(asked));
    if (!more && text) break;
  }
  return Done{};
}

Status Session::run() {
  if (!lines_.fine()) return Error{"the file of answers cannot be read", options_.answers, "name one line an answer"};
  if (link_.ticket) return run_graded();
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
  for (const Asked& asked : asked_) result.answers.push_back(asked.came ? asked.given : GivenAnswer{});
  return result;
}

/// Signed with this person's key; where none can be kept, a result that says so by its form.
std::string Session::code_of_result() const {
  const auto with_key = share::signed_result(link_.results_of, result());
  if (with_key) return with_key.value();
  note("The result is not signed: " + with_key.error().sentence());
  return result_code(link_.results_of, result());
}

json Session::json_report() const {
  json questions = json::array();
  double credit = 0;
  for (const Asked& asked : asked_) {
    json j = question_json(asked.question);
    if (!link_.ticket) j["key"] = key_json(asked.question);
    if (asked.came) j["answer"] = asked.given.text;
    if (asked.mark) {
      j["mark"] = mark_json(*asked.mark);
      credit += asked.mark->credit;
    }
    questions.push_back(j);
  }
  json report = {{"practice", set_.version}, {"questions", questions}};
  if (!link_.ticket) report["credit"] = credit;
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
  const Status sent = share::send_to_inbox(link.value().server, *link.value().inbox, link.value().results_of, result);
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
  auto link = link_from(o);
  if (!link) return fail(link.error());
  if (const Status can = check_graded(o, link.value()); !can) return fail(can.error());
  auto progress = progress_from(o.progress);
  if (!progress) return fail(progress.error());
  for (const std::string& folder : {o.pictures, o.landmarks, o.cases})
    if (!folder.empty())
      if (const Status made = make_folder(folder); !made) return fail(made.error());
  Session session(o, std::move(link).value(), std::move(progress).value());
  if (const Status done = session.run(); !done) return fail(done.error());
  if (!o.progress.empty()) {
    const std::string text = session.progress().to_json_with_skills().dump(1) + "\n";
    if (const Status saved = save_atomically(o.progress, {text.begin(), text.end()}, true); !saved)
      return fail(saved.error());
  }
  const int reported = session.report();
  if (session.cut_off()) return kOutsideLimit;
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
  app.add_option("--graded", o->graded,
                 "makes a graded set on this server: it gives the questions out, and only your set code marks them");
  app.add_option("--days", o->days, "that the inbox is kept and a graded set lasts (default 30)")
      ->check(CLI::Range(1, 365));
  app.add_flag("--send", o->send, "sends the result of --set LINK to its teacher's inbox");
  app.add_flag("--fetch", o->fetch, "like --gather, with what came into the inbox of --set LINK");
  app.add_option("--day", o->day, "counts as today: days since 1970-01-01");
  app.add_flag("--list", o->list, "lists the kinds of questions");
  add_format(app, o->format);
  return [o] { return run(*o); };
}

}  // namespace intercusp::cli
