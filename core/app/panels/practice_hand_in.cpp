// The end of a teacher's set: a name, and the result on its way to the teacher.
#include "app/panels/practice_panel.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/practice.h"
#include "base/fingerprint.h"

namespace intercusp {

namespace {

using HandIn = PracticeState::HandIn;

std::string signing_words(const HandIn& h) {
  if (h.signing) return "The result is being signed.";
  if (h.signature.empty()) return "There is no key here to sign with: the result goes unsigned.";
  return "Signed with the key of this browser or program, " + fingerprint_of(h.key) +
         ": it shows that nobody altered the result. It does not prove who you are.";
}

void send_part(Workspace& w) {
  const PracticeState& p = *w.practice;
  const HandIn& h = p.hand_in;
  const bool sending = h.sent == HandIn::Sent::sending || h.send_due, sent = h.sent == HandIn::Sent::yes;
  ui::ButtonLook look{ui::Weight::primary};
  look.enabled = !sending && !sent && !h.by.empty();
  if (ui::button("practice.send", sending ? "Sending" : sent ? "Sent" : "Send to the teacher", look))
    run(w, "practice_send");
  if (sent) ui::soft_text("It is with the server, sealed; only the teacher opens it.");
  if (h.by.empty()) ui::soft_text("Give your name first.");
  if (!h.trouble.empty()) ui::paragraph(fonts().small, theme().overlap_text, h.trouble.c_str());
  ui::gap_above(6);
}

}  // namespace

void practice_hand_in(Workspace& w) {
  const PracticeState& p = *w.practice;
  ui::paragraph(fonts().small_strong, theme().text, "Your name, as your teacher will see it");
  std::string by = p.hand_in.by;
  if (ui::text_field("practice.by", "name or initials", by)) run(w, "practice_result", {{"by", by}});
  ui::soft_text(signing_words(p.hand_in).c_str());
  ui::gap_above(8);
  if (p.inbox) send_part(w);
  ui::ButtonLook look;
  look.weight = p.inbox ? ui::Weight::plain : ui::Weight::primary;
  if (ui::button("practice.result", "Copy the result code", look)) run(w, "practice_result", {{"copy", true}});
  ui::gap_above(4);
  if (ui::button("practice.result_file", "Save the result as a file")) run(w, "practice_result", {{"file", true}});
}

}  // namespace intercusp
