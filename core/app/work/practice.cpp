#include "app/work/practice.h"

#include <algorithm>
#include <cmath>

#include <nlohmann/json.hpp>

#include "anatomy/fixed_random.h"
#include "app/view/layout.h"
#include "app/work/commands.h"
#include "app/work/graded_questions.h"
#include "app/work/opening.h"
#include "app/work/practice_result.h"
#include "app/work/surface_notes.h"
#include "base/calendar.h"
#include "base/fingerprint.h"
#include "practice/question_json.h"

namespace intercusp {

namespace {

constexpr std::uint32_t kPracticeTriangles = 40000;
constexpr int kSessionCount = 10;
constexpr double kClockSeconds = 0.2;  // between two looks at the clock of a timed question
const char* const kProgressKey = "practice_progress";

std::size_t count_of(const PracticeState& p) {
  return static_cast<std::size_t>(p.set.count);
}

/// Of a graded set the number alone is known here, as the question that comes says it of itself.
QuestionSpec spec_number(const PracticeState& p, std::size_t i) {
  if (p.ticket) return {QuestionKind::molar_relation, i + 1, kEasiest};
  if (!p.code.empty()) return p.specs[i];
  const unsigned fresh = 1 + FixedRandom(p.set.seed + 1000003ull * p.progress.answers().size()).below(999999999);
  return p.progress.next(p.set.kinds, day_today(), fresh);
}

bool is_same_question(const PracticeState& p, const QuestionSpec& a, const QuestionSpec& b) {
  return p.ticket ? a.seed == b.seed : a == b;
}

void practice_show(Workspace& w, QuestionMade made) {
  PracticeState& p = *w.practice;
  for (std::size_t i = 0; i < made.opened.bodies.size() && i < made.notes.size(); ++i)
    keep_notes(w, made.opened.bodies[i].surface, std::move(made.notes[i]));
  const bool several = w.layout != "one";
  take_case(w, std::move(made.opened));
  p.question = std::move(made.question);
  p.mark.reset();
  p.placed.reset();
  p.draft = {};
  p.waiting = false;
  p.trouble.clear();
  p.began = w.seconds;
  w.stop = Stop::bite;
  w.held = Moment::rest;
  w.guide = -1;
  w.tooth_numbers = false;
  w.gap.on = false;
  w.section = Section();
  w.snap = false;
  w.left_open = true;
  // What was said of the question before would lie over this one.
  for (Message& m : w.messages)
    if (m.kind == Message::Kind::note) m.until = 1e-9;
  if (p.set.tools == PracticeTools::views) w.layout = "record";
  p.view_due = several || p.set.tools == PracticeTools::views ? "" : made.look_from;
  if (!p.question->landmark.empty()) take_up_point(w);
  w.wake();
}

Status practice_fetch(Workspace& w, const QuestionSpec& spec, const std::string& words) {
  if (w.practice->ticket) return ask_for_graded_question(w, spec);
  return w.errands.go(MakeQuestion{spec, kPracticeTriangles}, words,
                      [&w, spec](ErrandAnswer& answer) { return take_question_made(w, spec, answer); });
}

/// Brings question number `at` on screen, at once where it is ready.
Status practice_bring(Workspace& w) {
  PracticeState& p = *w.practice;
  const QuestionSpec spec = spec_number(p, p.at);
  p.question.reset();
  p.mark.reset();
  if (p.ready && is_same_question(p, p.ready->question.spec, spec)) {
    QuestionMade made = std::move(*p.ready);
    p.ready.reset();
    practice_show(w, std::move(made));
    return Done{};
  }
  p.ready.reset();
  p.failed.reset();
  p.waiting = true;
  // It is under way already: its answer brings it on screen.
  if (p.preparing && is_same_question(p, *p.preparing, spec)) return Done{};
  return practice_fetch(w, spec, "Making the question");
}

void practice_set_aside(Workspace& w) {
  PracticeState::Before& b = w.practice->before;
  b.document = std::move(w.document);
  b.has_case = w.has_case;
  b.from_start = w.popover == Popover::start;
  b.left_open = w.left_open;
  b.right_open = w.right_open;
  b.held = w.held;
  b.snap = w.snap;
  b.tooth_numbers = w.tooth_numbers;
  b.gap_on = w.gap.on;
  b.plan = w.plan;
  b.layout = w.layout;
  b.stop = w.stop;
  b.guide = w.guide;
  b.saved_revision = w.saved_revision;
  b.keeps_nothing = w.keeps_nothing;
  b.locked = std::move(w.locked);
  b.seating = std::move(w.seating);
  b.splint = std::move(w.splint);
  b.zones = std::move(w.zones);
  w.has_case = false;
  w.document = Document();
}

/// The answer is in the set; empty where none was given in time.
void keep_answer(Workspace& w, const std::string& given) {
  w.practice->given.push_back({given, std::max(0.0, w.seconds - w.practice->began)});
  w.tool = Tool::turn;
  w.landmark_wanted.clear();
  w.wake();
}

void show_lower_alone(Workspace& w) {
  View& view = w.views[w.active_view];
  view.shown = Shown::lower;
  glide_to(w, w.active_view, camera_for(w, view, "fit"));
}

/// The point that was asked for where it is, not where it was put: what is read of the bite is read from it.
void put_the_point_right(Workspace& w) {
  const PracticeQuestion& q = *w.practice->question;
  Case next = w.now();
  Landmark& mark = next.landmarks[q.landmark];
  mark.at = next.patient_from_scans.inverse() * q.at;
  w.document.change(std::move(next), "The point as it is meant", "");
  w.refresh();
}

/// The view that shows it best.
void show_what_is_meant(Workspace& w) {
  PracticeState& p = *w.practice;
  const QuestionKind kind = p.question->spec.kind;
  if (p.question->form == AnswerForm::point) put_the_point_right(w);
  if (w.layout != "one") {
    w.fit_due = true;  // a jaw that was hidden for a point is there again
    return;
  }
  p.view_due = side_to_see_why(*p.question);
  // The incisors stand behind the canines in a view from the side.
  if (kind == QuestionKind::overjet || kind == QuestionKind::overbite) {
    w.section = Section();
    run(w, "section", {{"on", true}, {"axis", "sagittal"}});
    p.view_due.clear();
  }
}

/// Ends the question on screen with its mark. What was missed for want of time is missed: it counts in the progress and
/// comes back.
void close_question(Workspace& w, Mark mark, const std::string& given) {
  PracticeState& p = *w.practice;
  keep_answer(w, given);
  p.mark = std::move(mark);
  p.credit += p.mark->credit;
  p.marked.push_back(
      {info_of(p.question->spec.kind).skill, p.mark->verdict, p.mark->credit, p.mark->seen, p.mark->meant});
  p.progress.take(*p.question, *p.mark, day_today());
  w.host.keep_setting(kProgressKey, p.progress.to_json().dump());
  // The construct on the model, and what the movement asked about does.
  w.held = w.now().plans.empty() ? Moment::rest : Moment::planned;
  w.explained = p.question->measure;
  w.right_open = true;
  show_what_is_meant(w);
  w.host.announce((given.empty() ? "Too late" : shown_verdict(p.mark->verdict, p.mark->credit)) +
                  std::string(". It is: ") + p.mark->meant);
}

void finish_practice(Workspace& w) {
  PracticeState& p = *w.practice;
  p.finished = true;
  if (!p.ticket) p.report = session_report(p.progress, p.first_answer);
  w.explained.clear();
  if (!p.code.empty()) ask_for_signature(w);
}

Status practice_go_on(Workspace& w) {
  PracticeState& p = *w.practice;
  if (p.at + 1 < count_of(p)) {
    ++p.at;
    return practice_bring(w);
  }
  finish_practice(w);
  return Done{};
}

/// Goes on with a graded set where it was left.
Status continue_graded(Workspace& w) {
  PracticeState& p = *w.practice;
  p.given = kept_graded_answers(w, *p.ticket);
  p.at = std::min(p.given.size(), count_of(p) - 1);
  if (p.given.size() < count_of(p)) return practice_bring(w);
  finish_practice(w);
  return Done{};
}

/// A question of a graded set is answered: nothing is marked here, and the next one follows.
Status close_graded_question(Workspace& w, const std::string& given) {
  keep_answer(w, given);
  keep_graded_answers(w);
  w.host.announce(given.empty() ? "Too late" : "Answer kept");
  return practice_go_on(w);
}

void end_in_time(Workspace& w) {
  PracticeState& p = *w.practice;
  if (p.ticket) {
    if (const Status on = close_graded_question(w, ""); !on) w.say_error(on.error(), "the answers so far are kept");
    return;
  }
  Mark late;
  late.seen = "too late";
  late.meant = p.question->truth_words;
  close_question(w, std::move(late), "");
}

nlohmann::json hand_in_json(const PracticeState& p) {
  const PracticeState::HandIn& h = p.hand_in;
  const char* const kSent[] = {"no", "sending", "yes", "failed"};
  return {{"by", h.by},
          {"signing", h.signing},
          {"signed", !h.signature.empty()},
          {"key", h.key.empty() ? "" : fingerprint_of(h.key)},
          {"inbox", p.inbox.has_value()},
          {"sent", kSent[static_cast<int>(h.sent)]}};
}

}  // namespace

Status take_question_made(Workspace& w, const QuestionSpec& spec, ErrandAnswer& answer) {
  if (!w.practice) return Done{};
  PracticeState& p = *w.practice;
  if (p.preparing && is_same_question(p, *p.preparing, spec)) p.preparing.reset();
  const bool wanted = p.waiting && is_same_question(p, spec, spec_number(p, p.at));
  if (const auto* error = std::get_if<Error>(&answer)) {
    p.failed = spec;
    // Nobody waits for it yet: it is said once, when its turn comes.
    if (!wanted) return Done{};
    p.waiting = false;
    p.trouble = error->sentence();
    return *error;
  }
  auto* made = std::get_if<QuestionMade>(&answer);
  if (!made) return Done{};
  if (wanted)
    practice_show(w, std::move(*made));
  else if (!p.waiting)
    p.ready = std::move(*made);
  return Done{};
}

Status begin_practice(Workspace& w, SetLink link) {
  if (w.practice) leave_practice(w);
  w.class_open = false;
  w.practice = std::make_shared<PracticeState>();
  practice_set_aside(w);
  PracticeState& p = *w.practice;
  p.set = std::move(link.set);
  p.code = std::move(link.code);
  p.ticket = std::move(link.ticket);
  p.results_of = std::move(link.results_of);
  p.server = std::move(link.server);
  p.inbox = std::move(link.inbox);
  if (!p.code.empty() && !p.ticket) p.specs = questions_of(p.set);
  auto kept = PracticeProgress::from_json_text(w.host.setting(kProgressKey));
  if (kept) p.progress = std::move(kept).value();
  p.first_answer = p.progress.answers().size();
  w.popover = Popover::none;
  w.guide = -1;
  return p.ticket ? continue_graded(w) : practice_bring(w);
}

Status begin_set(Workspace& w, const std::string& text) {
  auto link = read_set_link(text);
  if (!link) return link.error();
  return begin_practice(w, std::move(link).value());
}

Status bring_again(Workspace& w) {
  const PracticeState& p = *w.practice;
  if (p.question || p.waiting || p.finished) return Error{"nothing failed to come", "", "go on with what is there"};
  return practice_bring(w);
}

void leave_practice(Workspace& w) {
  if (!w.practice) return;
  const auto practice = std::move(w.practice);
  w.practice.reset();
  if (practice->ticket && practice->hand_in.sent != PracticeState::HandIn::Sent::yes)
    w.say({Message::Kind::note, "The graded set is not handed in",
           "your answers so far are kept here; go on with it from the start page, or by its link", "", 0});
  PracticeState::Before& b = practice->before;
  w.document = std::move(b.document);
  w.has_case = b.has_case;
  w.plan = b.plan;
  w.stop = b.stop;
  w.left_open = b.left_open;
  w.right_open = b.right_open;
  w.held = b.held;
  w.snap = b.snap;
  w.tooth_numbers = b.tooth_numbers;
  w.gap.on = b.gap_on;
  w.guide = b.guide;
  w.saved_revision = b.saved_revision;
  w.keeps_nothing = b.keeps_nothing;
  w.locked = std::move(b.locked);
  w.seating = std::move(b.seating);
  b.splint.version = w.splint.version + 1;  // it is drawn anew
  w.splint = std::move(b.splint);
  w.zones = std::move(b.zones);
  w.layout = b.layout;
  w.tool = Tool::turn;
  w.landmark_wanted.clear();
  w.explained.clear();
  w.readings.forget();
  w.contacts.forget();
  w.plates.forget();
  w.way.forget();
  w.removal.forget();
  w.fit_due = w.has_case;
  w.section = Section();
  w.popover = w.has_case && !b.from_start ? Popover::none : Popover::start;
  if (practice->code.empty() && !practice->finished && !practice->given.empty())
    w.say({Message::Kind::note, "Your answers so far count for your levels", "practice begins anew next time", "", 0});
  w.refresh();
  w.wake();
}

Status answer_question(Workspace& w, const std::string& text) {
  PracticeState& p = *w.practice;
  if (!p.question) return Error{"there is no question yet", "", "wait until it is on screen"};
  if (p.mark) return Error{"this question is answered", "", "go on to the next"};
  if (p.finished) return Error{"that was the last question", "", "hand in the answers"};
  const auto answer = read_answer(*p.question, text);
  if (!answer) return answer.error();
  const std::string given = answer_text(*p.question, answer.value());
  if (p.ticket) return close_graded_question(w, given);
  if (p.question->form == AnswerForm::point) p.placed = answer.value().at;
  close_question(w, mark_answer(*p.question, answer.value()), given);
  return Done{};
}

Status join_progress(Workspace& w, const std::string& text) {
  auto read = PracticeProgress::from_json_text(text);
  if (!read) return read.error();
  auto kept = PracticeProgress::from_json_text(w.host.setting(kProgressKey));
  PracticeProgress all = kept ? std::move(kept).value() : PracticeProgress();
  const std::size_t before = all.answers().size();
  all.join(read.value());
  w.host.keep_setting(kProgressKey, all.to_json().dump());
  const std::size_t more = all.answers().size() - before;
  if (w.practice) {
    w.practice->first_answer += more;
    w.practice->progress = std::move(all);
  }
  w.say({Message::Kind::note,
         "Progress taken in: " + std::to_string(more) +
             (more == 1 ? " answer that was not here" : " answers that were not here"),
         "practice goes on at that level", "", 0});
  return Done{};
}

void take_up_point(Workspace& w) {
  w.tool = Tool::place_landmark;
  w.landmark_wanted = w.practice->question->landmark;
}

bool lacks_direction(const PracticeState& p) {
  return p.draft.number_set && p.draft.number != 0 && !p.draft.negative && !p.question->negative_word.empty();
}

std::string draft_text(const Workspace& w) {
  const PracticeState& p = *w.practice;
  if (!p.question) return "";
  const AnswerDraft& d = p.draft;
  switch (p.question->form) {
    case AnswerForm::choice:
      return d.choice < 0 ? "" : std::to_string(d.choice + 1);
    case AnswerForm::number: {
      if (!d.number_set || lacks_direction(p)) return "";
      PracticeAnswer answer;
      answer.number = d.negative.value_or(false) ? -std::abs(d.number) : d.number;
      return answer_text(*p.question, answer);
    }
    case AnswerForm::point: {
      const auto placed = w.now().landmarks.find(p.question->landmark);
      if (placed == w.now().landmarks.end()) return "";
      PracticeAnswer answer;
      answer.at = w.now().patient_from_scans * placed->second.at;
      return answer_text(*p.question, answer);
    }
    default: {
      PracticeAnswer answer;
      answer.teeth.assign(d.teeth.begin(), d.teeth.end());
      return p.question->form == AnswerForm::tooth && d.teeth.empty() ? "" : answer_text(*p.question, answer);
    }
  }
}

Status next_question(Workspace& w) {
  const PracticeState& p = *w.practice;
  if (p.finished) return Error{"that was the last question", "", "leave practice or begin anew"};
  if (!p.mark) return Error{"this question is not answered yet", "", "answer it first"};
  return practice_go_on(w);
}

void tend_practice(Workspace& w) {
  if (!w.practice) return;
  PracticeState& p = *w.practice;
  // A point is corrected by placing it once more.
  if (p.question && !p.mark && !p.finished && !p.question->landmark.empty() && w.tool == Tool::turn) take_up_point(w);
  if (!p.view_due.empty() && w.has_case && !w.fit_due) {
    send_view(w, w.active_view, p.view_due);
    p.view_due.clear();
    // The cusps that are asked about stand under those of the upper jaw.
    if (p.question && p.question->spec.kind == QuestionKind::curve_of_spee) show_lower_alone(w);
  }
  const bool timed = p.set.seconds > 0 && p.question && !p.mark && !p.finished;
  if (timed && w.seconds - p.began > p.set.seconds) {
    end_in_time(w);
  } else if (timed) {
    w.wake_at(w.seconds + kClockSeconds);  // the clock runs
  }
  // The next question of one's own level is known once this one is marked.
  const bool known = !p.code.empty() || p.mark;
  if (!p.question || !known || p.ready || p.preparing || p.failed || p.finished || p.at + 1 >= count_of(p)) return;
  if (!w.errands.has_runner()) return;
  p.preparing = spec_number(p, p.at + 1);
  (void)practice_fetch(w, *p.preparing, "").ok();
}

bool practice_hides_reading(const Workspace& w) {
  return w.practice && !w.practice->mark;
}

bool practice_holds_views(const Workspace& w) {
  return w.practice && w.practice->set.tools == PracticeTools::views && !w.practice->mark;
}

bool practice_allows_tools(const Workspace& w) {
  return !w.practice || w.practice->mark || w.practice->set.tools == PracticeTools::probe;
}

nlohmann::json practice_json(const Workspace& w) {
  const PracticeState& p = *w.practice;
  nlohmann::json j = {
      {"number", p.at + 1},     {"count", p.set.count}, {"waiting", p.waiting},          {"ready", p.ready.has_value()},
      {"finished", p.finished}, {"credit", p.credit},   {"tools", tools_id(p.set.tools)}};
  if (p.ticket) j["graded"] = true;
  if (!p.trouble.empty()) j["trouble"] = p.trouble;
  if (!p.code.empty() && p.finished) j["hand_in"] = hand_in_json(p);
  if (p.question) j["question"] = question_json(*p.question);
  if (p.mark) {
    j["mark"] = mark_json(*p.mark);
    j["key"] = key_json(*p.question);
  }
  return j;
}

}  // namespace intercusp
