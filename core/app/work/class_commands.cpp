// Commands of the teacher's page.
#include "app/work/class_work.h"
#include "app/work/command_table.h"
#include "app/work/set_args.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

Error no_class_page() {
  return {"the teacher's page is not open", "", "open it first: class_page"};
}

Result<Json> class_page_command(Workspace& w, const Json& args) {
  const std::string page = text_at(args, "page").value_or("make");
  if (page != "make" && page != "results") return Error{"there is no page \"" + page + "\"", "", "use make or results"};
  open_class_page(w, page == "make" ? ClassPage::make : ClassPage::results);
  return class_json(w);
}

Result<Json> class_leave_command(Workspace& w, const Json&) {
  leave_class_page(w);
  return nothing();
}

std::string typed(double number) {
  return std::to_string(static_cast<long>(number));
}

/// Takes over the numbers of the arguments; false where one is out of range.
bool take_numbers(SetDraft& draft, const Json& args) {
  if (!set_numbers_fit(args) || !given_within(args, "days", 1, kMostInboxDays)) return false;
  if (const auto seed = number_at(args, "seed")) draft.seed = typed(*seed);
  if (const auto count = number_at(args, "count")) draft.count = typed(*count);
  if (const auto difficulty = number_at(args, "difficulty")) draft.difficulty = static_cast<int>(*difficulty);
  if (const auto seconds = number_at(args, "seconds")) draft.seconds = static_cast<int>(*seconds);
  if (const auto days = number_at(args, "days")) draft.days = static_cast<int>(*days);
  return true;
}

/// {"kinds"} in place of those chosen, or {"kind", "on"} one more or less.
Status take_kinds(SetDraft& draft, const Json& args) {
  if (const Json* ids = member(args, "kinds")) {
    const auto kinds = kinds_from_args(*ids);
    if (!kinds) return kinds.error();
    draft.kinds = {kinds.value().begin(), kinds.value().end()};
  }
  const auto id = text_at(args, "kind");
  if (!id) return Done{};
  const auto kind = kind_of(*id);
  if (!kind) return Error{"there is no kind of question \"" + *id + "\"", "class_draft", "see docs/practice.md"};
  const bool on = flag_at(args, "on").value_or(!draft.kinds.count(*kind));
  on ? void(draft.kinds.insert(*kind)) : void(draft.kinds.erase(*kind));
  return Done{};
}

Status take_draft(Workspace& w, const Json& args) {
  SetDraft draft = w.class_work->draft;
  if (!take_numbers(draft, args))
    return Error{"a number is out of range", "class_draft", std::string(kSetNumbersWords) + ", days 1 to 365"};
  if (const Status kinds = take_kinds(draft, args); !kinds) return kinds;
  if (const auto id = text_at(args, "tools")) {
    const auto tools = tools_of(*id);
    if (!tools) return Error{"there are no such tools", "class_draft", "use views, model or probe"};
    draft.tools = *tools;
  }
  if (const auto title = text_at(args, "title")) draft.title = *title;
  if (const auto graded = flag_at(args, "graded")) draft.graded = *graded;
  if (const auto inbox = flag_at(args, "inbox")) draft.inbox = *inbox;
  if (flag_at(args, "fresh_seed").value_or(false)) draft.seed = fresh_seed(w);
  w.class_work->draft = std::move(draft);
  return Done{};
}

Result<Json> class_draft_command(Workspace& w, const Json& args) {
  if (!w.class_open) return no_class_page();
  if (const Status taken = take_draft(w, args); !taken) return taken.error();
  return class_json(w)["draft"];
}

Result<Json> class_make_command(Workspace& w, const Json& args) {
  if (!w.class_open) return no_class_page();
  if (const Status taken = take_draft(w, args); !taken) return taken.error();
  if (const Status made = make_class_set(w); !made) return made.error();
  return Json{{"set", w.class_work->made_code}, {"link", class_link(w)}};
}

Result<Json> class_copy_command(Workspace& w, const Json& args) {
  if (!w.class_open) return no_class_page();
  const bool code = text_at(args, "which").value_or("link") == "code";
  const std::string text = code ? w.class_work->made_code : class_link(w);
  if (text.empty()) return Error{"there is no set yet", "class_copy", "make it first"};
  w.host.set_clipboard(text);
  w.say({Message::Kind::note, code ? "Set code copied" : "Link copied", "who has it is asked these questions", "", 0});
  return Json{{"text", text}};
}

/// The set whose results are gathered: {"set"} a code or link, or {"index"} one made here earlier.
Result<Json> class_choose_command(Workspace& w, const Json& args) {
  if (!w.class_open) return no_class_page();
  ClassWork& c = *w.class_work;
  std::string text = text_at(args, "set").value_or("");
  if (const auto index = number_at(args, "index")) {
    if (*index < 0 || *index >= static_cast<double>(c.earlier.size()))
      return Error{"there is no such set", "class_choose", "count from 0"};
    const MadeSet& set = c.earlier[static_cast<std::size_t>(*index)];
    text = set_fragment(set.code, read_inbox(set.inbox));
  }
  const auto link = read_set_link(text);
  if (!link) return link.error();
  if (link.value().code != c.link.code) {
    c.lines.reset();
    c.gathered.reset();
    c.one_hand.clear();
    c.fetched.clear();
  }
  c.set_text = text;
  c.page = ClassPage::results;
  return nothing();
}

/// {"set", "results": codes as a list or a text}; without them those on the page.
Result<Json> class_gather_command(Workspace& w, const Json& args) {
  open_class_page(w, ClassPage::results);
  ClassWork& c = *w.class_work;
  if (const auto set = text_at(args, "set")) c.set_text = *set;
  const Json* results = member(args, "results");
  if (results && results->is_string()) c.results_text = results->get<std::string>();
  if (results && results->is_array()) {
    c.results_text.clear();
    for (const Json& one : *results)
      if (one.is_string()) c.results_text += one.get<std::string>() + "\n";
  }
  if (const Status begun = gather_class(w); !begun) return begun.error();
  return class_json(w)["results"];
}

Result<Json> class_save_command(Workspace& w, const Json&) {
  if (!w.class_open || !w.class_work->gathered)
    return Error{"there is no table yet", "class_save", "gather the results first"};
  const std::string csv = gathered_csv(*w.class_work->gathered);
  w.host.offer_file("practice-results.csv", "text/csv", {csv.begin(), csv.end()});
  return Json{{"csv", csv}, {"text", gathered_text(*w.class_work->gathered)}};
}

Result<Json> class_clear_command(Workspace& w, const Json&) {
  if (!w.class_open) return no_class_page();
  ClassWork& c = *w.class_work;
  c.results_text.clear();
  c.lines.reset();
  c.gathered.reset();
  c.one_hand.clear();
  c.marking = false;
  c.check = 0;
  return nothing();
}

Result<Json> class_fetch_command(Workspace& w, const Json&) {
  if (!w.class_open) return no_class_page();
  return from(fetch_inbox(w));
}

Result<Json> class_delete_inbox_command(Workspace& w, const Json&) {
  if (!w.class_open) return no_class_page();
  return from(delete_inbox(w));
}

/// {"by_student"} shows the table, else the plot; {"first_question"} is where its columns begin.
Result<Json> class_show_command(Workspace& w, const Json& args) {
  if (!w.class_open) return no_class_page();
  ClassWork& c = *w.class_work;
  c.by_student = flag_at(args, "by_student").value_or(c.by_student);
  const double most = std::max(0, c.link.set.count - 1);
  c.first_question = static_cast<std::size_t>(std::clamp(number_at(args, "first_question").value_or(0), 0.0, most));
  return nothing();
}

}  // namespace

void add_class_commands(std::map<std::string, Command>& t) {
  t["class_choose"] = {class_choose_command, false};
  t["class_clear"] = {class_clear_command, false};
  t["class_copy"] = {class_copy_command, false};
  t["class_delete_inbox"] = {class_delete_inbox_command, false};
  t["class_draft"] = {class_draft_command, false};
  t["class_fetch"] = {class_fetch_command, false};
  t["class_gather"] = {class_gather_command, false};
  t["class_leave"] = {class_leave_command, false};
  t["class_make"] = {class_make_command, false};
  t["class_page"] = {class_page_command, false};
  t["class_save"] = {class_save_command, false};
  t["class_show"] = {class_show_command, false};
}

}  // namespace intercusp
