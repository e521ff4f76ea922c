// Two plans beside each other: what differs of movements, bite and overlap. Nothing is computed here.
#include <cmath>

#include <nlohmann/json.hpp>

#include "app/panels/number_words.h"
#include "app/panels/panels.h"
#include "app/panels/popover.h"
#include "app/scene/note_quantities.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

using Table = nlohmann::json;

/// Digits end at these.
struct PlanColumns {
  float name, start, first, second, change;
};

PlanColumns plan_columns() {
  const float x = ImGui::GetCursorScreenPos().x, width = ImGui::GetContentRegionAvail().x, step = px(96);
  const float end = x + width - px(8);
  return {x, end - 3 * step, end - 2 * step, end - step, end};
}

std::string depth_words(const Table& value) {
  return value.is_number() ? amount(value.get<double>(), 2) : "-";
}

std::string value_of(const MeasureDefinition& d, const Table& value, int decimals) {
  if (!value.is_number()) return "-";
  if (decimals == 0) return amount(value.get<double>(), 0);
  MeasureValue v;
  v.value = value.get<double>();
  const BriefNumber n = brief_number(d, v);
  const char* unit = d.unit == "%" ? "%" : d.unit == "deg" ? "\xC2\xB0" : "";
  return n.digits + unit + (n.side.empty() ? "" : " " + n.side);
}

// "1.50 R", "2.05 more"
std::string change_words(double by, int decimals, const BriefNumber* way = nullptr) {
  if (way && !way->side.empty()) return way->digits + " " + way->side;
  return amount(by, decimals) + (by > 0 ? " more" : " less");
}

void table_head(const PlanColumns& c, const char* title, const Table& plans, bool with_start) {
  ui::gap_above(8);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const ImU32 ink = theme().soft;
  ui::put_text(list, fonts().small_strong, c.name, at.y, theme().text, title);
  if (with_start) ui::put_text(list, fonts().small, c.start, at.y, ink, "start", 1);
  ui::put_text(list, fonts().small, c.first, at.y, ink, "plan " + plans[0].get<std::string>(), 1);
  ui::put_text(list, fonts().small, c.second, at.y, ink, "plan " + plans[1].get<std::string>(), 1);
  ui::put_text(list, fonts().small, c.change, at.y, ink, "differs by", 1);
  ImGui::Dummy({1, px(20)});
}

void line(const PlanColumns& c, const std::string& name, const std::string& start, const std::string& first,
          const std::string& second, const std::string& change) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const Theme& t = theme();
  const float room = (start.empty() ? c.first : c.start) - px(88) - c.name;
  ui::put_text(list, fonts().small, c.name, at.y, t.text, ui::fitted(fonts().small, name, room));
  ui::put_text(list, fonts().small, c.start, at.y, t.soft, start, 1);
  ui::put_text(list, fonts().small, c.first, at.y, t.text, first, 1);
  ui::put_text(list, fonts().small, c.second, at.y, t.text, second, 1);
  ui::put_text(list, fonts().small_strong, c.change, at.y, t.text, change, 1);
  ImGui::Dummy({1, px(20)});
}

// Whether a difference can be seen in the digits shown.
bool differs(const Table& row, int decimals) {
  return std::abs(row["difference"].get<double>()) >= 0.5 * std::pow(10.0, -decimals);
}

void movements(const Table& report) {
  for (const Table& row : report["segments"]) {
    const std::string words = segment_words(row["segment"]) + ": " + row["words"].get<std::string>() + ".";
    ui::paragraph(fonts().body, theme().text, words.c_str());
  }
}

void measures(const Table& report) {
  const PlanColumns c = plan_columns();
  table_head(c, "Bite, in mm", report["plans"], true);
  std::size_t same = 0;
  for (const Table& row : report["measures"]) {
    const std::string unit = row["unit"];
    const MeasureDefinition* d = find_measure(row["id"]);
    const int decimals = unit == "contacts" ? 0 : decimals_of(*d);
    if (!differs(row, decimals)) {
      ++same;
      continue;
    }
    const double by = row["difference"];
    const BriefNumber way = brief_change(*d, by);
    line(c, short_name(*d), value_of(*d, row["start"], decimals), value_of(*d, row["first"], decimals),
         value_of(*d, row["second"], decimals), change_words(by, decimals, &way));
  }
  if (same > 0) ui::soft_text((std::to_string(same) + " more measures are the same under both.").c_str());
}

void overlaps(const Table& report) {
  const PlanColumns c = plan_columns();
  table_head(c, "Deepest overlap, mm", report["plans"], false);
  for (const Table& row : report["clearance"]) {
    const auto deepest = [](const Table& m) { return m.is_null() ? Table() : m["deepest_mm"]; };
    const Table first = deepest(row["first"]), second = deepest(row["second"]);
    const double by = first.is_null() || second.is_null() ? 0 : second.get<double>() - first.get<double>();
    const std::string change = std::abs(by) < 0.005 ? "" : change_words(by, 2);
    line(c, capital(body_words(row["between"][0])) + " on " + body_words(row["between"][1]), "", depth_words(first),
         depth_words(second), change);
  }
}

}  // namespace

void plans_box(Workspace& w, const Screen& s) {
  if (w.popover != Popover::plans || !w.beside.report) return;
  const auto kept = w.beside.report;  // comparing again puts another in its place
  const Table& r = *kept;
  const std::string title =
      "Plan " + r["plans"][0].get<std::string>() + " and plan " + r["plans"][1].get<std::string>();
  begin_popover(w, "plans_box", in_the_middle(s, 620, 620), title.c_str());
  if (w.beside.revision != w.document.revision()) {
    ui::paragraph(fonts().small, theme().overlap_text, "The case changed since these plans were compared.");
    if (ui::link("plans_box.again", "Compare again"))
      run(w, "plans_beside", {{"first", r["plans"][0]}, {"second", r["plans"][1]}});
  }
  ui::soft_text("How each part would go from where the first plan puts it to where the second does:");
  ImGui::BeginChild("both_plans", {0, 0});
  movements(r);
  measures(r);
  overlaps(r);
  ui::gap_above(8);
  ui::soft_text(r["caution"].get<std::string>().c_str());
  ImGui::EndChild();
  end_popover(w);
}

void plans_beside_links(Workspace& w) {
  if (w.plan.empty() || w.now().plans.size() < 2) return;
  ui::gap_above(8);
  for (const Plan& other : std::vector<Plan>(w.now().plans)) {
    if (other.name == w.plan) continue;
    ui::ButtonLook look;
    look.hint = "Movements, measures and overlaps of both, and how they differ";
    if (ui::button(("beside." + other.name).c_str(), ("Hold plan " + other.name + " beside it").c_str(), look))
      run(w, "plans_beside", {{"second", other.name}});
  }
}

}  // namespace intercusp
