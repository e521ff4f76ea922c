// Who is here, looking with them, and who one is oneself before a link is opened.
#include <imgui.h>

#include <algorithm>

#include "app/panels/panels.h"
#include "app/panels/popover.h"
#include "app/panels/review_panels.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/review.h"
#include "review/agreed.h"

namespace intercusp {

namespace {

void person_row(Workspace& w, const std::string& session, const PersonHere& person) {
  ReviewState& r = *w.review;
  const bool followed = r.following == session;
  ui::paragraph(fonts().strong, theme().text, person_words(person.name, person.role).c_str());
  const std::string key = key_fingerprint(person.author);
  const std::string seen = person.plan.empty() ? "looks at the start" : "looks at plan " + person.plan;
  ui::soft_text((seen + (key.empty() ? "" : "; says their key is " + key)).c_str());
  ui::ButtonLook look;
  look.chosen = followed;
  look.weight = person.asks_to_look && !followed ? ui::Weight::primary : ui::Weight::plain;
  if (ui::button(("people.look." + session).c_str(), followed ? "Looking with them" : "Look with them", look))
    run(w, "look_with", {{"session", followed ? "" : session}});
  ui::gap_above(10);
}

std::string connection_words(const ReviewState& r) {
  if (r.connection == "live")
    return r.waiting == 0 ? "Connected: all changes are with the server, sealed." : "Connected; sending.";
  const std::string waits =
      r.waiting == 0 ? ""
                     : " " + std::to_string(r.waiting) + (r.waiting == 1 ? " change waits" : " changes wait") + ".";
  return (r.connection == "offline" ? "No connection: what you do is sent when it is back." : "Connecting.") + waits;
}

}  // namespace

std::string person_words(const std::string& name, const std::string& role) {
  return (name.empty() ? "somebody" : name) + (role.empty() ? "" : ", " + role);
}

std::string when_words(std::int64_t ms, std::int64_t now_ms) {
  const std::string whole = moment_words(ms);
  const bool today = whole.substr(0, 10) == moment_words(now_ms).substr(0, 10);
  return whole.size() < 16 ? whole : today ? whole.substr(11) + " UTC" : whole.substr(0, 10);
}

void introduction_fields(Workspace& w) {
  Introduction& me = w.introduction;
  if (!me.read) {
    me.read = true;
    if (me.name.empty()) me.name = w.host.setting("review_name");
    if (me.role.empty()) me.role = w.host.setting("review_role");
  }
  ui::paragraph(fonts().small_strong, theme().text, "Your name, as the others see it");
  ui::text_field("introduction.name", "name or initials", me.name);
  for (const char* role : {"orthodontist", "surgeon", "other"}) {
    ui::ButtonLook look;
    look.chosen = me.role == role;
    if (std::string(role) != "orthodontist") ImGui::SameLine(0, px(4));
    if (ui::button((std::string("introduction.") + role).c_str(), role, look)) me.role = me.role == role ? "" : role;
  }
  bool shared = !me.keep;
  if (ui::toggle("introduction.shared", "A shared computer: keep nothing here", shared)) me.keep = !shared;
}

void join_box(Workspace& w, const Screen& s) {
  const bool asked = w.review && w.review->phase == ReviewState::Phase::asked;
  if (w.popover != Popover::join && asked) w.review.reset();  // closed without an answer
  if (w.popover != Popover::join || !w.review) return;
  if (!asked) {
    Rect r = in_the_middle(s, 460, 180);
    if (first_picture_shown(w)) r.y = std::floor(s.view.y + s.view.h - r.h - px(8));  // below it
    begin_popover(w, "join_box", r, first_picture_shown(w) ? "A first, coarse picture" : "Opening the shared case");
    way_of_the_case(w, "Asking the server");
    const bool open = w.popover == Popover::join;
    end_popover(w);
    if (open && w.review) w.popover = Popover::join;  // a press beside it turns the first picture
    return;
  }
  begin_popover(w, "join_box", in_the_middle(s, 460, touch_input() ? 370 : 300), "Open the shared case");
  // The last part of a link for changing is a whole key; of one for viewing it is short.
  const std::string& link = w.review->link;
  const bool changing =
      link.size() - std::min(link.size(), link.rfind('.') + 1) == 43 && std::count(link.begin(), link.end(), '.') == 3;
  ui::soft_text((std::string(changing ? "Somebody shares a case with you to plan it together."
                                      : "Somebody shares a case with you; this link is for viewing.") +
                 " The others see your name and where you point" + (changing ? ", and what you change." : "."))
                    .c_str());
  ui::gap_above(8);
  introduction_fields(w);
  ui::gap_above(10);
  Introduction& me = w.introduction;
  ui::ButtonLook look{ui::Weight::primary};
  look.enabled = !me.name.empty();
  if (ui::button("join.open", "Open it", look))
    run(w, "review_join", {{"name", me.name}, {"role", me.role}, {"keep", me.keep}});
  if (me.name.empty()) ui::soft_text("A name or initials first.");
  end_popover(w);
}

void people_box(Workspace& w, const Screen& s) {
  if (w.popover != Popover::people || !in_review(w)) return;
  const ReviewState& r = *w.review;
  const float height = 230 + 96 * static_cast<float>(std::max<std::size_t>(1, r.people.size()));
  begin_popover(w, "people_box", in_the_middle(s, 420, height), "Who is here");
  ui::paragraph(fonts().strong, theme().text, ("You: " + person_words(r.name, r.role)).c_str());
  ui::soft_text(
      ("Your key is " + key_fingerprint(r.author) + (r.may_change ? "" : "; this link is for viewing")).c_str());
  ui::soft_text(connection_words(r).c_str());
  ui::gap_above(12);
  if (r.people.empty()) ui::paragraph(fonts().body, theme().text, "Nobody else is here now.");
  for (const auto& [session, person] : std::map<std::string, PersonHere>(r.people)) person_row(w, session, person);
  bool asking = r.asking_to_look;
  if (ui::toggle("people.ask", "Ask the others to look with me", asking)) run(w, "look_with_me", {{"on", asking}});
  end_popover(w);
}

}  // namespace intercusp
