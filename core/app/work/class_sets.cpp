// The sets that were made here, as this machine keeps them.
#include "app/work/class_parts.h"

#include <algorithm>

#include "app/work/command_table.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

constexpr std::size_t kMostKept = 20;
const char* const kMadeSets = "class_sets";

}  // namespace

std::vector<MadeSet> kept_sets(Workspace& w) {
  std::vector<MadeSet> sets;
  const std::string text = w.host.setting(kMadeSets);
  const auto kept = parse_json(text.data(), text.size());
  for (const Json& one : kept&& kept.value().is_array() ? kept.value() : Json::array()) {
    MadeSet set{text_at(one, "title").value_or(""), text_at(one, "code").value_or(""),
                text_at(one, "inbox").value_or(""), static_cast<std::int64_t>(number_at(one, "ends").value_or(0))};
    if (sets.size() < kMostKept && read_set_code(set.code).ok()) sets.push_back(std::move(set));
  }
  return sets;
}

void keep_sets(Workspace& w) {
  Json kept = Json::array();
  for (const MadeSet& set : w.class_work->earlier)
    kept.push_back({{"title", set.title}, {"code", set.code}, {"inbox", set.inbox}, {"ends", set.ends_ms}});
  w.host.keep_setting(kMadeSets, kept.dump(-1, ' ', false, Json::error_handler_t::replace));
}

namespace {

void keep_made(Workspace& w, MadeSet made) {
  std::vector<MadeSet>& earlier = w.class_work->earlier;
  const auto same = [&](const MadeSet& set) { return set.code == made.code && set.inbox == made.inbox; };
  earlier.erase(std::remove_if(earlier.begin(), earlier.end(), same), earlier.end());
  earlier.insert(earlier.begin(), std::move(made));
  if (earlier.size() > kMostKept) earlier.resize(kMostKept);
  keep_sets(w);
}

}  // namespace

void take_made(Workspace& w, const std::string& code, const std::optional<InboxAddress>& inbox, std::int64_t ends_ms) {
  ClassWork& c = *w.class_work;
  const auto set = read_set_code(code);
  if (!set) return;
  c.made_code = code;
  c.fragment = set_fragment(c.student_code, inbox);
  c.set_text = set_fragment(code, inbox);
  keep_made(w, {set.value().title, code, inbox ? inbox_text(*inbox) : "", ends_ms});
  w.wake();
}

}  // namespace intercusp
