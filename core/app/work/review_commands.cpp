// Commands on sharing: share, join, who is here, agree, versions.
#include <algorithm>

#include "app/work/command_table.h"
#include "app/work/review_parts.h"
#include "base/json_read.h"
#include "casebook/digest.h"
#include "review/agreed.h"
#include "review/entry_fields.h"

namespace intercusp {

namespace {

constexpr int kUsualDays = 14, kMostDays = 90;

int days_of(const Json& args) {
  return static_cast<int>(std::clamp(number_at(args, "days").value_or(kUsualDays), 1.0, double(kMostDays)));
}

/// Name and role as given, else as last time; kept for the next unless this is a shared computer.
Status introduce(Workspace& w, ReviewState& r, const Json& args) {
  r.name = text_at(args, "name").value_or(w.host.setting("review_name"));
  r.role = text_at(args, "role").value_or(w.host.setting("review_role"));
  r.keep = flag_at(args, "keep").value_or(true);
  if (r.name.empty()) return Error{"the others are to see who you are", "", "type a name, or initials"};
  if (r.name.size() > kLongestName || r.role.size() > kLongestName)
    return Error{"the name or the role is too long", "", "use at most 80 letters"};
  if (!r.keep) return Done{};
  w.host.keep_setting("review_name", r.name);
  w.host.keep_setting("review_role", r.role);
  return Done{};
}

Error no_way() {
  return Error{"this program has no way to others here", "", "open the case on the web page of a review server"};
}

Result<Json> share_for_review(Workspace& w, const Json& args) {
  if (w.review) return Error{"the case is shared already", "", "leave it first"};
  auto state = std::make_shared<ReviewState>();
  const Status known = introduce(w, *state, args);
  if (!known) return known.error();
  if (!w.host.review({{"ask", "ready"}}, {})) return no_way();
  state->phase = ReviewState::Phase::uploading;
  state->may_change = true;
  w.review = std::move(state);
  const Status begun = begin_sharing(w, days_of(args));
  if (begun) return nothing();
  w.review.reset();
  return begun.error();
}

Result<Json> join(Workspace& w, const Json& args) {
  const std::string link = text_at(args, "link").value_or(w.review ? w.review->link : "");
  if (!is_review_link(link)) return Error{"that is no link to a shared case", "", "copy the whole link again"};
  if (in_review(w)) leave_review(w);
  if (!w.review) w.review = std::make_shared<ReviewState>();
  ReviewState& r = *w.review;
  const Status known = introduce(w, r, args);
  if (!known) return known.error();
  r.link = link;
  r.phase = ReviewState::Phase::opening;
  r.progress_words.clear();
  w.popover = Popover::join;  // shows how far it is
  const bool asked =
      w.host.review({{"ask", "join"}, {"link", r.link}, {"name", r.name}, {"role", r.role}, {"keep", r.keep}}, {});
  if (asked) return nothing();
  w.review.reset();
  return no_way();
}

Result<Json> leave(Workspace& w, const Json&) {
  leave_review(w);
  w.popover = Popover::none;
  return nothing();
}

/// Something that only the one who shared may ask of the server.
Command owner_asks(const char* what) {
  return {[what](Workspace& w, const Json& args) -> Result<Json> {
            if (!in_review(w) || !w.review->owner)
              return Error{"only the browser that shared the case can do this", "", "ask whoever shared it"};
            Json request = {{"ask", what}};
            if (const auto days = number_at(args, "days")) request["days"] = days_of(args);
            w.host.review(request, {});
            return nothing();
          },
          false};
}

Result<Json> copy_review_link(Workspace& w, const Json& args) {
  if (!in_review(w)) return Error{"the case is not shared", "", "share it first"};
  const bool change = text_at(args, "which").value_or("view") == "change";
  const std::string& link = change ? w.review->change_link : w.review->view_link;
  if (link.empty()) return Error{"this link does not give that right on", "", "ask whoever shared the case"};
  w.host.set_clipboard(link);
  w.say({Message::Kind::note, change ? "Link for changing copied" : "Link for viewing copied",
         change ? "whoever has it can change the case" : "whoever has it sees the case", "", 0});
  return Json{{"link", link}};
}

Result<Json> agree(Workspace& w, const Json& args) {
  publish_review(w);
  const auto [thing, line] =
      w.review ? w.review->sharing.shared().shown_plan(w.plan) : std::pair<const SharedThing*, std::size_t>{nullptr, 0};
  const Status may = may_change_review(w);
  if (!may) return may.error();
  if (!thing) return Error{"there is no plan to agree to", "", "move a jaw first"};
  const std::string digest = w.plan_fingerprint();
  const Status written = write_entry(w, {{"do", "agree"},
                                         {"part", text_at(args, "part").value_or("")},
                                         {"plan", thing->name},
                                         {"on", thing->lines[line].tip},
                                         {"digest", digest},
                                         {"withdrawn", flag_at(args, "withdrawn").value_or(false)}});
  if (!written) return written.error();
  return Json{{"digest", digest}};
}

Result<Json> look_with_me(Workspace& w, const Json& args) {
  if (!in_review(w)) return Error{"the case is not shared", "", ""};
  w.review->asking_to_look = flag_at(args, "on").value_or(!w.review->asking_to_look);
  return Json{{"on", w.review->asking_to_look}};
}

Result<Json> look_with(Workspace& w, const Json& args) {
  if (!in_review(w)) return Error{"the case is not shared", "", ""};
  const std::string who = text_at(args, "session").value_or(""), name = text_at(args, "name").value_or("");
  w.review->following.clear();
  for (const auto& [session, person] : w.review->people)
    if (session == who || (!name.empty() && person.name == name)) w.review->following = session;
  return Json{{"following", w.review->following}};
}

// The plan as an earlier version has it, as a change of its own.
Result<Json> take_version(Workspace& w, const Json& args) {
  if (!in_review(w)) return Error{"the case is not shared", "", ""};
  const auto [thing, line] = w.review->sharing.shared().shown_plan(w.plan);
  const std::string id = text_at(args, "id").value_or("");
  if (!thing || (!id.empty() && !thing->find(id))) return Error{"there is no such version of the plan", "", ""};
  const auto plan = plan_from_value(thing->value_of(id), w.plan);
  if (!plan) return Error{"the plan was not there then", "", ""};
  Case next = w.now();
  *next.find_plan(w.plan) = plan.value();
  w.document.change(std::move(next), "Plan " + w.plan + " as it was before");
  return nothing();
}

Result<Json> remove_plan(Workspace& w, const Json& args) {
  const std::string name = text_at(args, "name").value_or(w.plan);
  Case next = w.now();
  const auto at = std::find_if(next.plans.begin(), next.plans.end(), [&](const Plan& p) { return p.name == name; });
  if (at == next.plans.end()) return Error{"there is no plan \"" + name + "\"", "", ""};
  next.plans.erase(at);
  w.document.change(std::move(next), "Took plan " + name + " away");
  return nothing();
}

}  // namespace

void add_review_commands(std::map<std::string, Command>& t) {
  t["review_share"] = {share_for_review};
  t["review_join"] = {join, false};
  t["review_leave"] = {leave, false};
  t["review_revoke"] = owner_asks("revoke");
  t["review_delete"] = owner_asks("delete");
  t["review_prolong"] = owner_asks("prolong");
  t["review_copy"] = {copy_review_link};
  t["agree"] = {agree};
  t["look_with_me"] = {look_with_me};
  t["look_with"] = {look_with};
  t["take_version"] = {take_version};
  t["remove_plan"] = {remove_plan};
}

}  // namespace intercusp
