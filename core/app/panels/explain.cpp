// The reason behind a number: what was measured, by whose definition, how sure it is, and what is usual.
#include "app/panels/number_words.h"
#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

std::string unit_words(const MeasureDefinition& d) {
  return d.unit == "%" ? "\xE2\x80\x89%" : " " + d.unit;
}

void usual_line(const MeasureDefinition& d) {
  if (!d.usual) return;
  ui::gap_above(8);
  const std::string words = "Usual: " + measure_words(d, (*d.usual)[0]) + " to " + measure_words(d, (*d.usual)[1]);
  ui::paragraph(fonts().small_strong, theme().text, words.c_str());
  ui::paragraph(fonts().small, theme().soft, d.usual_source.c_str());
}

// What the uncertainty holds of proposals that nobody has looked at.
std::string unconfirmed_words(const Workspace& w, const MeasureDefinition& d) {
  const auto& less_sure = w.readings.now().input.landmark_sd;
  const auto n = std::count_if(d.needs.begin(), d.needs.end(), [&](const auto& name) { return less_sure.count(name); });
  if (n == 0) return "";
  return n == 1 ? "; one proposed point is not confirmed"
                : "; " + std::to_string(n) + " proposed points are not confirmed";
}

void value_lines(const Workspace& w, const MeasureRow& row) {
  const MeasureDefinition& d = *row.definition;
  if (!row.value) {
    ui::paragraph(fonts().body, theme().overlap_text, ("Not measurable: place " + listed(row.needs, 4) + ".").c_str());
    return;
  }
  const MeasureValue& v = *row.value;
  ui::paragraph(fonts().heading, theme().text, in_words(d, v).c_str());
  ui::soft_text(("\xC2\xB1 " + uncertainty_digits(d, v.uncertainty) + unit_words(d) +
                 ", one standard deviation, from how exactly landmarks can be placed" + unconfirmed_words(w, d))
                    .c_str());
  if (v.probability && *v.probability < 0.95)
    ui::paragraph(fonts().small, theme().text,
                  ("Near a boundary: Class " + v.relation.value_or("") + " with " +
                   std::to_string(std::lround(*v.probability * 100)) + "% probability")
                      .c_str());
  std::string pairs;
  for (const PairReading& p : v.pairs)
    pairs += (pairs.empty() ? "" : ";  ") + p.between + "  " + measure_words(d, p.value);
  if (v.pairs.size() > 1) ui::soft_text(pairs.c_str());
  if (v.sagittal_mm) ui::soft_text((amount(*v.sagittal_mm, 2) + " mm of it straight forward").c_str());
  if (v.from_mesh)
    ui::soft_text(("A probe on the scanned surfaces would read " + measure_words(d, *v.from_mesh)).c_str());
}

// The first sentence says what it is; the rest is for who wants to repeat it.
void definition_lines(Workspace& w, const MeasureDefinition& d) {
  const std::size_t stop = d.definition.find(". ");
  const bool more = stop != std::string::npos;
  ui::gap_above(8);
  ui::paragraph(fonts().small, theme().text,
                more && !w.explain_more ? d.definition.substr(0, stop + 1).c_str() : d.definition.c_str());
  if (more && ui::link("explain.more", w.explain_more ? "Less" : "The whole definition"))
    w.explain_more = !w.explain_more;
  ui::gap_above(4);
  ui::paragraph(fonts().small, theme().soft, ("By: " + d.source).c_str());
}

// Whether what is explained lies in the right half of the view: the words then stand on the left.
bool lies_right(const Workspace& w, const MeasureRow& row) {
  const View& v = w.views[w.active_view];
  if (!row.value || row.value->construct.empty() || row.value->construct.front().points.empty()) return false;
  const Vec3& p = row.value->construct.front().points.front();
  return Projection{v.camera, v.rect}.pixel(p).x() > v.rect.x + 0.5 * v.rect.w;
}

}  // namespace

void explain_popover(Workspace& w, const Screen& s) {
  const MeasureRow* row = w.readings.now().row(w.explained);
  if (!row) return;
  const float width = std::min(px(340), s.view.w - px(16)), top = tool_strip_height(s.view.w);
  const float x = lies_right(w, *row) ? s.view.x + px(8) : s.view.x + s.view.w - width - px(8);
  float height = std::min(px(w.explain_more ? 520 : 380), s.view.h - top - px(80)), y = s.view.y + top;
  if (s.upright) {  // below what it speaks of
    height = std::min(px(w.explain_more ? 380 : 250), 0.5f * s.view.h);
    y = s.view.y + s.view.h - height - px(8);
  }
  const Rect r{x, y, width, height};
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, px(10));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(px(16), px(12)));
  begin_panel("explain", r, true);
  const bool close =
      ui::title_line(fonts().strong, row->definition->name.c_str(), "explain.close", "Close", r.w - px(16));
  value_lines(w, *row);
  definition_lines(w, *row->definition);
  usual_line(*row->definition);
  end_scrolling_panel();
  ImGui::PopStyleVar(2);
  if (close) run(w, "explain");
}

}  // namespace intercusp
