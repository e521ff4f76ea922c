// Commands of practice.
#include "anatomy/notation.h"
#include "app/work/command_table.h"
#include "app/work/practice.h"
#include "base/json_read.h"
#include "practice/gathering.h"

namespace intercusp {

namespace {

constexpr double kMostMillimetres = 1000;  ///< as of a number that is typed

Error not_practising() {
  return {"practice is not open", "", "begin it first: practice"};
}

/// A set from a command's arguments; what is not said is what a student practises by default.
Result<QuestionSet> set_from_args(const Json& args) {
  QuestionSet set;
  const auto whole = [&args](const char* key, double otherwise) { return number_at(args, key).value_or(otherwise); };
  const double seed = whole("seed", 1), count = whole("count", 10), difficulty = whole("difficulty", 0);
  const double seconds = whole("seconds", 0);
  if (seed < 1 || seed > 999999999 || count < 1 || count > kMostQuestions || difficulty < 0 || difficulty > kHardest ||
      seconds < 0 || seconds > 3600)
    return Error{"seed, count, difficulty or seconds are out of range", "practice",
                 "seed 1 to 999999999, count 1 to 100, difficulty 0 to 7, seconds 0 to 3600"};
  set.seed = static_cast<unsigned>(seed);
  set.count = static_cast<int>(count);
  set.difficulty = static_cast<int>(difficulty);
  set.seconds = static_cast<int>(seconds);
  set.title = text_at(args, "title").value_or("");
  const auto tools = tools_of(text_at(args, "tools").value_or("model"));
  if (!tools) return Error{"there are no such tools", "practice", "use views, model or probe"};
  set.tools = *tools;
  const Json* kinds = member(args, "kinds");
  for (const Json& id : kinds && kinds->is_array() ? *kinds : Json::array()) {
    const auto kind = id.is_string() ? kind_of(id.get<std::string>()) : std::nullopt;
    if (!kind) return Error{"there is no kind of question " + id.dump(), "practice", "see docs/practice.md"};
    set.kinds.push_back(*kind);
  }
  if (set.kinds.empty())
    for (const KindInfo& info : question_kinds()) set.kinds.push_back(info.kind);
  return set;
}

Result<Json> practice_begin_command(Workspace& w, const Json& args) {
  const std::string code = text_at(args, "set").value_or("");
  if (!code.empty()) {
    if (const Status begun = begin_set(w, code); !begun) return begun.error();
    return practice_json(w);
  }
  auto set = set_from_args(args);
  if (!set) return set.error();
  if (const Status begun = begin_practice(w, std::move(set).value(), ""); !begun) return begun.error();
  return practice_json(w);
}

Result<Json> practice_answer_command(Workspace& w, const Json& args) {
  if (!w.practice) return not_practising();
  const auto marked = answer_question(w, text_at(args, "text").value_or(draft_text(w)));
  if (!marked) return marked.error();
  return practice_json(w);
}

Result<Json> practice_next_command(Workspace& w, const Json&) {
  if (!w.practice) return not_practising();
  if (const Status done = next_question(w); !done) return done.error();
  return practice_json(w);
}

Result<Json> practice_leave_command(Workspace& w, const Json&) {
  leave_practice(w);
  return nothing();
}

/// Only the kind on screen from the next question on, or all again.
Result<Json> practice_only_kind_command(Workspace& w, const Json& args) {
  if (!w.practice) return not_practising();
  PracticeState& p = *w.practice;
  if (!p.code.empty()) return Error{"a set asks what its teacher chose", "practice_kind", "leave the set first"};
  const auto id = text_at(args, "kind");
  const auto kind = kind_of(id.value_or(""));
  if (id && !kind)
    return Error{"there is no kind of question \"" + *id + "\"", "practice_kind", "see docs/practice.md"};
  p.set.kinds.clear();
  if (kind) p.set.kinds = {*kind};
  if (!kind)
    for (const KindInfo& info : question_kinds()) p.set.kinds.push_back(info.kind);
  p.ready.reset();
  p.failed.reset();
  return nothing();
}

/// What of a draft cannot be an answer to the question; nothing is taken then.
Status check_draft(const PracticeQuestion& question, const Json& args) {
  const auto beyond = [&args](const char* key, double low, double high) {
    const auto value = number_at(args, key);
    return value && !(*value >= low && *value <= high);
  };
  const auto tooth = number_at(args, "tooth");
  if (beyond("choice", 1, static_cast<double>(question.choices.size())))
    return Error{"there is no such choice", "practice_draft", "count the choices from 1"};
  if (beyond("number", -kMostMillimetres, kMostMillimetres))
    return Error{"the number is out of range", "practice_draft", "give millimetres from -1000 to 1000"};
  if (beyond("tooth", 11, 48) || (tooth && !is_permanent_tooth(static_cast<int>(*tooth))))
    return Error{"there is no such tooth", "practice_draft", "give a two-digit number, 11 to 48"};
  return Done{};
}

/// The draft of the panel: {"choice"}, {"number"}, {"negative"}, {"tooth", "on"}.
Result<Json> practice_draft_command(Workspace& w, const Json& args) {
  if (!w.practice || !w.practice->question || w.practice->mark) return not_practising();
  if (const Status fine = check_draft(*w.practice->question, args); !fine) return fine.error();
  AnswerDraft& d = w.practice->draft;
  if (const auto choice = number_at(args, "choice")) d.choice = static_cast<int>(*choice) - 1;
  if (const auto number = number_at(args, "number")) {
    d.number = *number;
    d.number_set = true;
  }
  if (const auto negative = flag_at(args, "negative")) d.negative = *negative;
  if (const auto tooth = number_at(args, "tooth")) {
    const int iso = static_cast<int>(*tooth);
    const bool on = flag_at(args, "on").value_or(!d.teeth.count(iso));
    if (w.practice->question->form == AnswerForm::tooth) d.teeth.clear();
    on ? void(d.teeth.insert(iso)) : void(d.teeth.erase(iso));
  }
  return Json{{"text", draft_text(w)}};
}

Result<Json> practice_place_command(Workspace& w, const Json&) {
  if (!w.practice || !w.practice->question || w.practice->question->landmark.empty()) return not_practising();
  w.tool = Tool::place_landmark;
  w.landmark_wanted = w.practice->question->landmark;
  return nothing();
}

Result<Json> practice_result_command(Workspace& w, const Json& args) {
  if (!w.practice) return not_practising();
  const PracticeState& p = *w.practice;
  if (p.code.empty()) return Error{"these questions are of no set", "practice_result", "open a teacher's set"};
  const std::string code = result_code(p.code, {text_at(args, "by").value_or(""), p.given});
  if (flag_at(args, "copy").value_or(false)) {
    w.host.set_clipboard(code);
    w.say({Message::Kind::note, "Result code copied", "pass it to your teacher", "", 0});
  }
  return Json{{"result", code}};
}

Result<Json> practice_report_command(Workspace& w, const Json&) {
  if (!w.practice) return not_practising();
  return Json{{"text", session_report(w.practice->progress, w.practice->first_answer)}};
}

/// The progress as a file to keep elsewhere.
Result<Json> practice_keep_progress_command(Workspace& w, const Json&) {
  if (!w.practice) return not_practising();
  const std::string text = w.practice->progress.to_json_with_skills().dump(1) + "\n";
  w.host.offer_file("practice-progress.json", "application/json", {text.begin(), text.end()});
  return nothing();
}

Result<Json> practice_make_set_command(Workspace& w, const Json& args) {
  const auto set = set_from_args(args);
  if (!set) return set.error();
  const std::string code = set_code(set.value()), link = w.host.link_for(code);
  if (flag_at(args, "copy").value_or(false)) {
    w.host.set_clipboard(link);
    w.say({Message::Kind::note, "Link to a set copied", "who opens it is asked these kinds of questions, all the same",
           "", 0});
  }
  return Json{{"set", code}, {"link", link}};
}

/// {"set", "results": [codes]}; with "save": true also hands out the table as CSV.
Result<Json> practice_gather_results_command(Workspace& w, const Json& args) {
  const std::string code = text_at(args, "set").value_or("");
  const auto set = read_set_code(code);
  if (!set) return set.error();
  std::vector<SetResult> results;
  const Json* codes = member(args, "results");
  for (const Json& text : codes && codes->is_array() ? *codes : Json::array()) {
    auto read = read_result_code(code, text.is_string() ? text.get<std::string>() : "");
    if (!read) return read.error();
    results.push_back(std::move(read).value());
  }
  std::vector<PracticeQuestion> questions;
  for (const QuestionSpec& spec : questions_of(set.value())) {
    auto made = make_question(spec);
    if (!made) return made.error();
    questions.push_back(std::move(made.value().question));
  }
  const GatheredSet gathered = gather(std::move(questions), results);
  const std::string csv = gathered_csv(gathered);
  if (flag_at(args, "save").value_or(false))
    w.host.offer_file("practice-results.csv", "text/csv", {csv.begin(), csv.end()});
  return Json{{"text", gathered_text(gathered)}, {"csv", csv}};
}

}  // namespace

void add_practice_commands(std::map<std::string, Command>& t) {
  t["practice"] = {practice_begin_command, false};
  t["practice_answer"] = {practice_answer_command, false};
  t["practice_draft"] = {practice_draft_command, false};
  t["practice_gather"] = {practice_gather_results_command, false};
  t["practice_keep"] = {practice_keep_progress_command, false};
  t["practice_kind"] = {practice_only_kind_command, false};
  t["practice_leave"] = {practice_leave_command, false};
  t["practice_next"] = {practice_next_command, false};
  t["practice_place"] = {practice_place_command, false};
  t["practice_report"] = {practice_report_command, false};
  t["practice_result"] = {practice_result_command, false};
  t["practice_set"] = {practice_make_set_command, false};
}

}  // namespace intercusp
