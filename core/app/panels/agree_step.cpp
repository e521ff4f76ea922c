// The last stop: who agreed to what, on which fingerprint of the plan, and what changed since.
#include <imgui.h>

#include "app/panels/panels.h"
#include "app/panels/review_panels.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/review.h"
#include "review/agreed.h"

namespace intercusp {

namespace {

std::string short_digest(const std::string& digest) {
  return digest.substr(0, 4) + " " + digest.substr(4, 4) + " " + digest.substr(8, 4);
}

void agree_title(const std::string& words) {
  ui::gap_above(12);
  ui::paragraph(fonts().strong, theme().text, words.c_str());
}

void standing_row(const StandingAgreement& s, std::int64_t now_ms) {
  const Agreement& a = s.agreement;
  const std::string who = person_words(a.name, a.role);
  const std::string mark = s.current ? "Agreed: " : "Outdated: ";
  ui::paragraph(fonts().body, s.current ? theme().usual_text : theme().overlap_text, (mark + who).c_str());
  ui::soft_text(
      (when_words(a.time_ms, now_ms) + ", on " + short_digest(a.digest) + ", key " + key_fingerprint(a.author))
          .c_str());
  if (s.current) return;
  ui::soft_text("Changed since:");
  for (const std::string& change : s.changes) ui::paragraph(fonts().small, theme().text, change.c_str());
}

void part(Workspace& w, const char* name, const char* title, const std::vector<StandingAgreement>& all, bool usual) {
  const ReviewState& r = *w.review;
  agree_title(title);
  bool any = false, mine = false;
  for (const StandingAgreement& s : all) {
    if (s.agreement.part != name) continue;
    standing_row(s, w.host.stamp().time_ms);
    any = true;
    mine |= s.agreement.author == r.author && s.current;
  }
  if (!any) ui::soft_text("Not agreed yet.");
  ui::gap_above(4);
  ui::ButtonLook look;
  look.weight = usual && !mine && r.may_change ? ui::Weight::primary : ui::Weight::plain;
  look.enabled = r.may_change;
  const std::string id = std::string("agree.") + name;
  if (mine) {
    if (ui::button((id + ".back").c_str(), "Take it back", look))
      run(w, "agree", {{"part", name}, {"withdrawn", true}});
  } else if (ui::button(id.c_str(), (std::string("Agree to the ") + name).c_str(), look)) {
    run(w, "agree", {{"part", name}});
  }
}

void not_shared(Workspace& w, const Plan* plan) {
  agree_title(plan ? "Plan " + w.plan : "No plan yet");
  ui::paragraph(
      fonts().body, theme().text,
      plan ? "What two people agree to is the plan's fingerprint: it changes with any movement, landmark or scan."
           : "Move a jaw first: a plan is what two people agree to.");
  if (plan) ui::paragraph(fonts().strong, theme().text, short_digest(w.plan_fingerprint()).c_str());
  plans_beside_links(w);
  ui::gap_above(10);
  ui::soft_text(
      "Share the case: the other sees the same jaws move, you both pin remarks on the model, and each agrees with a "
      "key "
      "of their own.");
  ui::gap_above(10);
  if (ui::button("agree.share", "Share", {ui::Weight::primary})) run(w, "share_box");
  ImGui::SameLine();
  if (ui::button("agree.save", "Save the case file")) run(w, "save");
}

void shared_findings(const SharedCase& shared) {
  const auto findings = shared.findings();
  if (findings.empty()) return;
  agree_title("To look at");
  for (std::size_t i = 0; i < findings.size() && i < 5; ++i)
    ui::paragraph(fonts().small, theme().overlap_text, findings[i].words.c_str());
}

}  // namespace

void agree_step(Workspace& w) {
  const Plan* plan = w.current_plan();
  if (!in_review(w)) return not_shared(w, plan);
  const ReviewState& r = *w.review;
  if (plan) {
    agree_title("Plan " + w.plan + ", fingerprint " + short_digest(w.plan_fingerprint()));
    say_what_is_in_the_way(w);
    part(w, "occlusion", "Occlusion", standing_agreements(w), r.role == "orthodontist");
    part(w, "movement", "Movement", standing_agreements(w), r.role == "surgeon");
  } else {
    agree_title("No plan yet");
    ui::paragraph(fonts().body, theme().text, "Move a jaw first: a plan is what people agree to.");
  }
  if (!r.may_change) ui::soft_text("This link is for viewing: agreeing needs the link for changing.");
  plans_beside_links(w);
  remark_list(w);
  if (plan) plan_versions(w);
  shared_findings(r.sharing.shared());
  ui::gap_above(12);
  ui::soft_text(
      ("Your key: " + key_fingerprint(r.author) + ". Read it to each other by phone once, so that you know it is them.")
          .c_str());
}

}  // namespace intercusp
