// Commands of practice.
#include "anatomy/notation.h"
#include "app/work/command_table.h"
#include "app/work/practice.h"
#include "app/work/practice_result.h"
#include "app/work/set_args.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

constexpr double kMostMillimetres = 1000;  ///< as of a number that is typed

Error not_practising() {
  return {"practice is not open", "", "begin it first: practice"};
}

Result<Json> practice_begin_command(Workspace& w, const Json& args) {
  const std::string code = text_at(args, "set").value_or("");
  if (!code.empty()) {
    if (const Status begun = begin_set(w, code); !begun) return begun.error();
    return practice_json(w);
  }
  auto set = set_from_args(args);
  if (!set) return set.error();
  SetLink own;
  own.set = std::move(set).value();
  if (const Status begun = begin_practice(w, std::move(own)); !begun) return begun.error();
  return practice_json(w);
}

Result<Json> practice_answer_command(Workspace& w, const Json& args) {
  if (!w.practice) return not_practising();
  const auto marked = answer_question(w, text_at(args, "text").value_or(draft_text(w)));
  if (!marked) return marked.error();
  return practice_json(w);
}

Result<Json> practice_again_command(Workspace& w, const Json&) {
  if (!w.practice) return not_practising();
  return from(bring_again(w));
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
  take_up_point(w);
  return nothing();
}

/// {"by"} names who hands in; {"copy"} to the clipboard, {"file"} as a file: as soon as it is signed.
Result<Json> practice_result_command(Workspace& w, const Json& args) {
  if (!w.practice) return not_practising();
  PracticeState& p = *w.practice;
  if (p.code.empty()) return Error{"these questions are of no set", "practice_result", "open a teacher's set"};
  const std::string by = text_at(args, "by").value_or(p.hand_in.by);
  const bool as_signed = by == p.hand_in.by && p.hand_in.asked != 0 && p.hand_in.answers == p.given.size();
  p.hand_in.by = by;
  if (!as_signed) ask_for_signature(w);
  if (flag_at(args, "copy").value_or(false)) copy_result(w);
  if (flag_at(args, "file").value_or(false)) save_result(w);
  return Json{{"result", result_now(w)}, {"signed", !p.hand_in.signature.empty()}, {"signing", p.hand_in.signing}};
}

Result<Json> practice_send_command(Workspace& w, const Json&) {
  if (!w.practice) return not_practising();
  if (!w.practice->finished)
    return Error{"the set is not finished", "practice_send", "answer all of its questions first"};
  return from(send_result(w));
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
  w.say({Message::Kind::note, "Your progress is saved as practice-progress.json",
         "open or drop that file to go on with it on another machine", "", 0});
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

}  // namespace

void add_practice_commands(std::map<std::string, Command>& t) {
  t["practice"] = {practice_begin_command, false};
  t["practice_again"] = {practice_again_command, false};
  t["practice_answer"] = {practice_answer_command, false};
  t["practice_draft"] = {practice_draft_command, false};
  t["practice_keep"] = {practice_keep_progress_command, false};
  t["practice_kind"] = {practice_only_kind_command, false};
  t["practice_leave"] = {practice_leave_command, false};
  t["practice_next"] = {practice_next_command, false};
  t["practice_place"] = {practice_place_command, false};
  t["practice_report"] = {practice_report_command, false};
  t["practice_result"] = {practice_result_command, false};
  t["practice_send"] = {practice_send_command, false};
  t["practice_set"] = {practice_make_set_command, false};
}

}  // namespace intercusp
