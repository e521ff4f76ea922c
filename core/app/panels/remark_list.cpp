// Remarks of a shared case: the one being written, the list, and the thread of the one that is open.
#include <imgui.h>

#include <algorithm>

#include "app/panels/panels.h"
#include "app/panels/review_panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/review.h"

namespace intercusp {

namespace {

std::string pinned_words(const std::string& body, const std::string& measure) {
  if (!measure.empty()) {
    const MeasureDefinition* d = find_measure(measure);
    return "on " + (d ? short_name(*d) : measure);
  }
  std::string words = body;
  for (char& c : words) c = c == '_' ? ' ' : c;
  return "on the " + words;
}

void remark_row(Workspace& w, const Remark& r, std::size_t number) {
  const Theme& t = theme();
  const bool open = w.review->open_remark == r.id;
  const float h = touch_input() ? target_height() : px(28);
  const ui::AreaState s = ui::area(("remark." + std::to_string(number)).c_str(), {ImGui::GetContentRegionAvail().x, h});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  if (s.hovered || open) list->AddRectFilled(from, to, open ? t.accent_ground : t.hover, px(5));
  const float y = std::floor(0.5f * (from.y + to.y - fonts().small->FontSize));
  ui::put_text(list, fonts().small_strong, from.x + px(20), y, t.accent, std::to_string(number), 1);
  const std::string words = (r.resolved ? "Resolved: " : "") + r.text;
  ui::put_text(list, fonts().small, from.x + px(28), y, r.resolved ? t.soft : t.text,
               ui::fitted(fonts().small, words.substr(0, words.find('\n')), to.x - from.x - px(34)));
  if (s.clicked) run(w, "open_remark", {{"id", open ? "" : r.id}});
}

/// The view that it was made in, as it looked then; a click looks from there again.
void remark_picture(Workspace& w, const Remark& r) {
  if (!r.picture) return;
  const PictureShelf::Shown shown = w.shelf.show(r.id, *r.picture);
  if (!shown.texture) return ui::soft_text("Its picture cannot be shown.");
  ui::gap_above(4);
  const float width = std::min(ImGui::GetContentRegionAvail().x, px(260));
  const float most = px(190), natural = width * static_cast<float>(shown.height) / static_cast<float>(shown.width);
  const float scale = std::min(1.f, most / natural);
  const ui::AreaState s = ui::area("remark.picture", {width * scale, natural * scale});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const auto image = reinterpret_cast<ImTextureID>(static_cast<std::uintptr_t>(shown.texture));
  list->AddImageRounded(image, from, to, {0, 0}, {1, 1}, IM_COL32_WHITE, px(5));
  list->AddRect(from, to, s.hovered || s.focused ? theme().accent : theme().line, px(5), 0, px(s.hovered ? 2 : 1));
  if (s.clicked) run(w, "open_remark", {{"id", r.id}});
  ui::gap_above(4);
}

void thread(Workspace& w, const Remark& r) {
  ReviewState& state = *w.review;
  const std::int64_t now = w.host.stamp().time_ms;
  ui::soft_text(
      (person_words(r.name, r.role) + ", " + when_words(r.time_ms, now) + ", " + pinned_words(r.body, r.measure))
          .c_str());
  ui::paragraph(fonts().body, theme().text, r.text.c_str());
  remark_picture(w, r);
  for (const RemarkReply& reply : r.replies) {
    ui::gap_above(4);
    ui::soft_text((person_words(reply.name, reply.role) + ", " + when_words(reply.time_ms, now)).c_str());
    ui::paragraph(fonts().body, theme().text, reply.text.c_str());
  }
  if (!state.may_change) return;
  ui::gap_above(4);
  ui::text_field("remark.reply", "reply", state.reply_text);
  ui::ButtonLook look;
  look.enabled = !state.reply_text.empty();
  if (ui::button("remark.send", "Reply", look) && run(w, "reply", {{"to", r.id}, {"text", state.reply_text}}))
    state.reply_text.clear();
  ImGui::SameLine();
  if (ui::button("remark.resolve", r.resolved ? "Open it again" : "Resolved")) run(w, "resolve", {{"to", r.id}});
  ui::gap_above(8);
}

void draft_fields(Workspace& w, RemarkDraft& draft) {
  ui::soft_text(("A remark " + pinned_words(draft.body, draft.measure)).c_str());
  if (ImGui::IsWindowAppearing() || draft.text.empty()) {
    if (!ImGui::IsAnyItemActive()) ImGui::SetKeyboardFocusHere();
  }
  ui::text_lines("remark.text", draft.text, 3);
  ui::ButtonLook look{ui::Weight::primary};
  look.enabled = !draft.text.empty();
  if (ui::button("remark.add", "Add the remark", look)) {
    nlohmann::json args = {{"text", draft.text}};
    if (draft.measure.empty()) {
      args["body"] = draft.body;
      args["point"] = {draft.point.x(), draft.point.y(), draft.point.z()};
    } else {
      args["measure"] = draft.measure;
    }
    run(w, "remark", args);
    return;  // the draft is gone
  }
  ImGui::SameLine();
  if (ui::button("remark.drop", "Drop it")) w.review->draft.reset();
}

void new_remark(Workspace& w) {
  ReviewState& r = *w.review;
  if (r.draft) return draft_fields(w, *r.draft);
  if (!r.may_change) return;
  const bool placing = w.tool == Tool::place_remark;
  ui::ButtonLook look;
  look.chosen = placing;
  look.hint = "Then click on the model where it belongs";
  if (ui::button("remark.new", placing ? touch_input() ? "Tap on the model" : "Click on the model" : "Pin a remark",
                 look))
    run(w, "pin_remark");
  if (w.explained.empty()) return;
  const MeasureDefinition* d = find_measure(w.explained);
  if (!d) return;
  ImGui::SameLine();
  if (ui::button("remark.measure", ("On " + short_name(*d)).c_str())) run(w, "pin_remark", {{"measure", w.explained}});
}

}  // namespace

void remark_list(Workspace& w) {
  ReviewState& state = *w.review;
  ui::gap_above(12);
  ui::paragraph(fonts().strong, theme().text, "Remarks");
  std::size_t number = 0, resolved = 0;
  const std::vector<Remark> all = state.sharing.shared().remarks();
  if (state.open_remark.empty()) state.scrolled_to.clear();
  for (const Remark& r : all) {
    ++number;
    resolved += r.resolved;
    const bool open = state.open_remark == r.id;
    if (r.resolved && !state.shows_resolved && !open) continue;
    remark_row(w, r, number);
    if (open && state.scrolled_to != r.id) {
      if (!ImGui::IsItemVisible()) ImGui::SetScrollHereY(0);
      state.scrolled_to = r.id;
    }
    if (open) thread(w, r);
  }
  if (all.empty() && !state.draft) ui::soft_text("None yet.");
  new_remark(w);
  if (resolved > 0) {
    const std::string words = std::to_string(resolved) + " resolved";
    ui::toggle("remark.resolved", words.c_str(), state.shows_resolved);
  }
}

}  // namespace intercusp
