// Versions and alternatives of the plan worked on: who made what of it when, and how the alternatives differ.
#include <optional>

#include <imgui.h>

#include <nlohmann/json.hpp>

#include "app/panels/panels.h"
#include "app/panels/review_panels.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/review.h"
#include "review/agreed.h"

namespace intercusp {

namespace {

constexpr std::size_t kVersionsAtFirst = 4, kMostDifferences = 4;

/// A button pressed while the history is drawn; done afterwards, as it may change what is drawn.
struct Pressed {
  std::string command;
  nlohmann::json args;
};
using Press = std::optional<Pressed>;

void alternative(Workspace& w, const std::string& name, Press& press) {
  const Plan *mine = w.current_plan(), *other = w.now().find_plan(name);
  if (!mine || !other) return;
  ui::paragraph(fonts().body, theme().text, ("Beside it: plan " + name).c_str());
  const auto differences = plan_changes(*mine, *other);
  for (std::size_t i = 0; i < differences.size() && i < kMostDifferences; ++i)
    ui::paragraph(fonts().small, theme().text, differences[i].c_str());
  if (differences.empty()) ui::soft_text("The same movements.");
  ui::ButtonLook look;
  if (ui::button(("versions.show." + name).c_str(), "Look at it", look)) press = {"choose_plan", {{"name", name}}};
  ImGui::SameLine();
  look.enabled = w.review->may_change;
  look.hint = "Its versions stay in the history";
  if (ui::button(("versions.drop." + name).c_str(), "Take it away", look)) press = {"remove_plan", {{"name", name}}};
  ui::gap_above(6);
}

void version_row(const Workspace& w, const SharedThing& thing, std::size_t index, std::int64_t now, Press& press) {
  const ThingVersion& v = thing.versions[index];
  const bool tip = thing.lines[v.line].tip == v.id;
  const std::string who = (v.name.empty() ? "somebody" : v.name) + ", " + when_words(v.time_ms, now);
  const std::string line = v.line == 0 ? "" : thing.lines[v.line].shown_as + ": ";
  ui::soft_text((line + who + (v.value.is_null() ? ", took it away" : "") + (tip ? ", as it stands" : "")).c_str());
  if (tip || v.value.is_null() || !w.review->may_change) return;
  ImGui::SameLine();
  if (ui::link(("version." + std::to_string(index)).c_str(), "back to this")) press = {"take_version", {{"id", v.id}}};
}

}  // namespace

void plan_versions(Workspace& w) {
  ReviewState& state = *w.review;
  const SharedThing* thing = state.sharing.shared().shown_plan(w.plan).first;
  if (!thing) return;
  ui::gap_above(12);
  ui::paragraph(fonts().strong, theme().text, ("Versions of plan " + thing->name).c_str());
  Press press;
  for (const ThingLine& line : thing->lines)
    if (line.shown_as != w.plan && !line.value.is_null()) alternative(w, line.shown_as, press);
  if (thing->versions.empty()) ui::soft_text("As it was shared.");
  const std::int64_t now = w.host.stamp().time_ms;
  std::size_t shown = 0;
  for (std::size_t i = thing->versions.size(); i-- > 0;) {
    if (!state.shows_versions && ++shown > kVersionsAtFirst) break;
    version_row(w, *thing, i, now, press);
  }
  if (thing->versions.size() > kVersionsAtFirst)
    ui::toggle("versions.all", (std::to_string(thing->versions.size()) + " versions").c_str(), state.shows_versions);
  if (press) run(w, press->command, press->args);
}

}  // namespace intercusp
