#include "app/work/practice_result.h"

#include "app/work/class_work.h"
#include "app/work/command_table.h"
#include "app/work/graded_questions.h"
#include "base/base64.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

using HandIn = PracticeState::HandIn;

SetResult handed_in(const PracticeState& p) {
  return {p.hand_in.by, p.given, ""};
}

void send_now(Workspace& w) {
  PracticeState& p = *w.practice;
  HandIn& h = p.hand_in;
  h.send_due = false;
  h.sent = HandIn::Sent::sending;
  h.trouble.clear();
  const bool can = w.host.practice({{"ask", "send"},
                                    {"server", p.server},
                                    {"inbox", inbox_text(*p.inbox)},
                                    {"set", p.results_of},
                                    {"number", h.asked},
                                    {"result", result_now(w)}});
  if (can) return;
  h.sent = HandIn::Sent::failed;
  h.trouble = "There are no keys here to seal it with. Copy the result code and pass it on by hand.";
}

void copy_now(Workspace& w) {
  w.practice->hand_in.copy_due = false;
  w.host.set_clipboard(result_now(w));
  w.say({Message::Kind::note, "Result code copied", "pass it to your teacher", "", 0});
}

void save_now(Workspace& w) {
  w.practice->hand_in.file_due = false;
  const std::string text = result_now(w) + "\n";
  w.host.offer_file("practice-result.txt", "text/plain", {text.begin(), text.end()});
}

/// What waited for the signature is done, with it or without.
void signature_settled(Workspace& w) {
  HandIn& h = w.practice->hand_in;
  h.signing = false;
  if (h.copy_due) copy_now(w);
  if (h.file_due) save_now(w);
  if (h.send_due) send_now(w);
}

void take_signed(Workspace& w, const Json& event) {
  HandIn& h = w.practice->hand_in;
  const auto key = from_base64url(text_at(event, "key").value_or(""));
  const auto signature = from_base64url(text_at(event, "signature").value_or(""));
  if (key && signature && key->size() == 32 && signature->size() == 64) {
    h.key = *key;
    h.signature = *signature;
  }
  signature_settled(w);
}

void take_trouble_of_result(Workspace& w, const Json& event) {
  HandIn& h = w.practice->hand_in;
  if (text_at(event, "asked") == "sign") return signature_settled(w);
  h.sent = HandIn::Sent::failed;
  h.trouble = text_at(event, "what").value_or("The result was not sent") +
              ". Try again, or copy the result code and pass it on by hand.";
}

}  // namespace

void ask_for_signature(Workspace& w) {
  static int numbers = 0;
  PracticeState& p = *w.practice;
  HandIn& h = p.hand_in;
  h.key.clear();
  h.signature.clear();
  h.sent = HandIn::Sent::no;
  h.asked = ++numbers;
  h.answers = p.given.size();
  h.signing = w.host.practice(
      {{"ask", "sign"}, {"number", h.asked}, {"bytes", base64url(bytes_to_sign(p.results_of, handed_in(p)))}});
}

std::string result_now(const Workspace& w) {
  const PracticeState& p = *w.practice;
  return result_code(p.results_of, handed_in(p), p.hand_in.key, p.hand_in.signature);
}

Status send_result(Workspace& w) {
  if (!w.practice->inbox) return Error{"this set has no inbox", "", "copy the result code and pass it to your teacher"};
  if (w.practice->hand_in.signing)
    w.practice->hand_in.send_due = true;
  else
    send_now(w);
  return Done{};
}

void copy_result(Workspace& w) {
  if (w.practice->hand_in.signing)
    w.practice->hand_in.copy_due = true;
  else
    copy_now(w);
}

void save_result(Workspace& w) {
  if (w.practice->hand_in.signing)
    w.practice->hand_in.file_due = true;
  else
    save_now(w);
}

void take_practice_event(Workspace& w, const Json& event) {
  w.wake();
  const std::string kind = text_at(event, "event").value_or("");
  const bool of_result = w.practice && number_at(event, "number").value_or(0) == w.practice->hand_in.asked;
  if (of_result && kind == "signed") return take_signed(w, event);
  const auto asked = text_at(event, "asked");
  if (of_result && kind == "trouble" && (asked == "sign" || asked == "send")) return take_trouble_of_result(w, event);
  if (of_result && kind == "sent") {
    w.practice->hand_in.sent = HandIn::Sent::yes;
    if (w.practice->ticket) forget_graded_answers(w);
    return w.host.announce("Sent to the teacher");
  }
  if (take_graded_event(w, kind, event)) return;
  (void)take_class_event(w, kind, event);
}

}  // namespace intercusp
