// The share box: a link that holds the whole case, or the case put on the server, sealed, for others to open.
#include <imgui.h>

#include <algorithm>

#include "app/panels/panels.h"
#include "app/panels/popover.h"
#include "app/panels/review_panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/qr_code.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/review.h"
#include "app/work/view_json.h"
#include "casebook/privacy.h"
#include "casebook/recipe_link.h"
#include "review/agreed.h"

namespace intercusp {

namespace {

void share_words(const std::string& words) {
  ui::paragraph(fonts().body, theme().text, words.c_str());
}

void share_title(const char* words) {
  ui::gap_above(10);
  ui::paragraph(fonts().strong, theme().text, words);
}

std::string counted(std::size_t n, const char* one, const char* many) {
  return std::to_string(n) + " " + (n == 1 ? one : many);
}

void link_alone(Workspace& w) {
  const std::string fragment = recipe_link(w.now(), view_json(w));
  if (fragment.empty()) return;
  share_title("As a link alone");
  ui::soft_text(
      "It holds the recipe of the sample, the movements and the view, nothing else; no server keeps anything.");
  const float button = ui::text_width(fonts().body, "Copy the link") + px(24);
  ui::read_only_line("share.link", w.host.link_for(fragment), ImGui::GetContentRegionAvail().x - button - px(8));
  ImGui::SameLine(0, px(8));
  if (ui::button("share.copy", "Copy the link") && run(w, "share", {{"copy", true}})) w.popover = Popover::none;
}

/// Names everything that will be shared, before it is.
void what_is_shared(const Workspace& w) {
  const Case& c = w.now();
  std::vector<std::string> names;
  for (const Body& body : c.bodies) names.push_back(body_words(body.name));
  share_words("Shared will be: the case id \"" + c.id + "\"; " + counted(names.size(), "surface", "surfaces") + " (" +
              listed(names, 4) + "); " + counted(c.landmarks.size(), "landmark", "landmarks") + "; " +
              (c.face.empty() ? ""
                              : "what is recorded of the face" + std::string(c.face.sex.empty() ? "" : ", sex") +
                                    (c.face.number("age_years") ? ", age" : "") + "; ") +
              (c.plans.empty() ? "no plan yet" : counted(c.plans.size(), "plan", "plans")) +
              ". Later: every change, remark (with a picture of the view) and agreement, with your name.");
  if (const auto warning = id_warning(c.id)) ui::paragraph(fonts().small, theme().overlap_text, warning->c_str());
  ui::soft_text(
      "It is sealed in this browser before it leaves; the server cannot read it. Whoever has a link can, so send it "
      "only to "
      "those who may see the case, and ask what local rules demand.");
}

void ask_to_share(Workspace& w) {
  share_title("Review it together");
  what_is_shared(w);
  ui::gap_above(8);
  introduction_fields(w);
  Introduction& me = w.introduction;
  for (const int days : {1, 14, 90}) {
    ui::ButtonLook look;
    look.chosen = me.days == days;
    if (days != 1) ImGui::SameLine(0, px(4));
    if (ui::button(("share.days." + std::to_string(days)).c_str(), (counted(std::size_t(days), "day", "days")).c_str(),
                   look))
      me.days = days;
  }
  ImGui::SameLine(0, px(12));
  ImGui::AlignTextToFramePadding();
  ui::soft_text("then the server forgets it");
  ui::gap_above(8);
  ui::ButtonLook look{ui::Weight::primary};
  look.enabled = !me.name.empty();
  if (ui::button("share.review", "Share the case", look))
    run(w, "review_share", {{"name", me.name}, {"role", me.role}, {"days", me.days}, {"keep", me.keep}});
  if (me.name.empty()) ui::soft_text("A name or initials first.");
}

}  // namespace

void way_of_the_case(Workspace& w, const char* at_first) {
  const ReviewState& r = *w.review;
  share_words(r.progress_words.empty() ? at_first : r.progress_words);
  ui::gap_above(8);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float width = ImGui::GetContentRegionAvail().x;
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddRectFilled(at, {at.x + width, at.y + px(4)}, theme().line, px(2));
  list->AddRectFilled(at, {at.x + width * static_cast<float>(r.progress), at.y + px(4)}, theme().accent, px(2));
  ImGui::Dummy({width, px(12)});
  if (ui::button("share.stop", "Stop")) run(w, "review_leave");
}

namespace {

void link_line(Workspace& w, const char* which, const char* title, const char* words, const std::string& link) {
  if (link.empty()) return;
  share_title(title);
  ui::soft_text(words);
  const std::string id = std::string("share.") + which;
  const float button = ui::text_width(fonts().body, "Copy") + px(24), room = ImGui::GetContentRegionAvail().x;
  ui::read_only_line((id + ".link").c_str(), link, room - button - px(8));
  ImGui::SameLine(0, px(8));
  if (ui::button((id + ".copy").c_str(), "Copy")) run(w, "review_copy", {{"which", which}});
}

void owner_buttons(Workspace& w) {
  ReviewState& r = *w.review;
  ui::ButtonLook quiet;
  quiet.weight = ui::Weight::quiet;
  if (r.owner) {
    if (ui::button("share.prolong", "14 days from now", quiet)) run(w, "review_prolong", {{"days", 14}});
    ImGui::SameLine(0, px(4));
    quiet.hint = "Nobody, you included, can change the shared case after this; viewing goes on";
    if (!r.change_link.empty() &&
        ui::button("share.revoke", r.sure_to_revoke ? "Really, also for me" : "End changing", quiet)) {
      if (r.sure_to_revoke) run(w, "review_revoke");
      r.sure_to_revoke = true;
    }
    ImGui::SameLine(0, px(4));
    quiet.hint = "Everything of it on the server, for everybody; the case here stays";
    if (ui::button("share.delete", r.sure_to_delete ? "Really delete it" : "Delete", quiet)) {
      r.sure_to_delete = !r.sure_to_delete || !run(w, "review_delete");
      if (!r.sure_to_delete) w.popover = Popover::none;  // what came of it is said below
    }
  }
  quiet.hint = "The case stays open here, no longer shared";
  if (ui::button("share.leave", "Leave", quiet)) run(w, "review_leave");
}

void shared_links(Workspace& w) {
  ReviewState& r = *w.review;
  const ImVec2 top = ImGui::GetCursorPos();
  const float code = px(200), room = ImGui::GetContentRegionAvail().x;
  const std::string& shown = r.code_for_changing && !r.change_link.empty() ? r.change_link : r.view_link;
  const bool beside = room > px(520);
  if (beside) ImGui::BeginChild("links", {room - code - px(16), 0});
  ui::soft_text(("Until " + moment_words(r.ends_ms) + " UTC, then the server forgets it.").c_str());
  link_line(w, "change", "For changing", "Moves, remarks, agreement. To those who plan with you.", r.change_link);
  link_line(w, "view", "For viewing", "Sees everything, changes nothing.", r.view_link);
  ui::gap_above(10);
  owner_buttons(w);
  if (!beside) return;
  ImGui::EndChild();
  ImGui::SetCursorPos({top.x + room - code, top.y});
  ImGui::BeginChild("code", {code, 0});
  ui::qr_code(shown, code);
  if (r.change_link.empty())
    ui::soft_text("For viewing");
  else
    ui::toggle("share.code", "for changing", r.code_for_changing, "Which link the code to be photographed holds");
  ImGui::EndChild();
}

}  // namespace

void share_box(Workspace& w, const Screen& s) {
  if (w.popover != Popover::share) return;
  const bool open = in_review(w), busy = w.review && !open;
  const float finger = touch_input() ? 100 : 0;  // what larger targets take
  const float height = open ? 390 + 0.5f * finger : busy ? 190 : (w.now().recipe.empty() ? 440 : 540) + finger;
  begin_popover(w, "share_box", in_the_middle(s, open ? 640 : 520, height), open ? "Shared" : "Share");
  if (open)
    shared_links(w);
  else if (busy)
    way_of_the_case(w, "Sealing the case");
  else {
    link_alone(w);
    ask_to_share(w);
  }
  end_popover(w);
}

}  // namespace intercusp
