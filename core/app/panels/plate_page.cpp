// The clearance stop's third page: where plates go, with gap, step, contact, bone for screws and roots.
#include <algorithm>

#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/view/place_marks.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/feasibility.h"

namespace intercusp {

namespace {

// Millimetres and square millimetres, as the page says above the list.
std::string meeting_words(const PlateGap& gap) {
  if (!gap.facing) return "no bone of the other segment opposite";
  const auto bare = [](std::string words) {
    const std::size_t unit = words.find(" mm");
    return unit == std::string::npos ? words : words.erase(unit, 3);
  };
  return bare(plate_gap_words(gap)) + ", " + bare(plate_step_words(gap)) + ", contact " + amount(gap.contact_mm2, 0);
}

std::string screw_words(const PlateGap& gap, bool reference) {
  const auto& screw = reference ? gap.reference_screw : gap.other_screw;
  if (!screw) return std::string("no bone for a screw ") + screw_side(gap, reference);
  std::string words =
      std::string("screw ") + screw_side(gap, reference) + ": bone " + amount(screw->thickness_mm, 1) + " mm";
  if (screw->tip_to_root_mm) words += ", tip " + amount(*screw->tip_to_root_mm, 1) + " mm from a root";
  return words;
}

// Only what contact, bone and roots are there for; a gap that must be sawn away first says so.
std::vector<std::string> remark_lines(const PlateGap& gap, const std::vector<PlateRemark>& remarks) {
  std::vector<std::string> lines;
  if (gap.facing && gap.gap_mm < -0.05)
    lines.push_back("The bones overlap here: bone comes off before a plate goes on.");
  for (const PlateRemark& r : remarks)
    lines.push_back(capital(r.what) + (r.considered.empty() ? "." : ": " + r.considered + " (" + r.source + ")."));
  return lines;
}

void plate_site_row(Workspace& w, int index, const PlateGap& gap) {
  const Theme& t = theme();
  const auto remarks = plate_remarks(gap);
  const bool chosen = w.chosen_plate == index, fits = plate_fits(gap);
  std::vector<std::string> lines{meeting_words(gap)};
  if (chosen) {
    for (const bool reference : {true, false}) lines.push_back(screw_words(gap, reference));
    for (std::string& line : remark_lines(gap, remarks)) lines.push_back(std::move(line));
  }
  const float width = ImGui::GetContentRegionAvail().x, indent = 2 * number_disc_radius() + px(6);
  const std::string at_end = fits ? "fits" : "look";
  const float room = width - indent - ui::text_width(fonts().small_strong, at_end) - px(14);
  float h = px(4) + ui::lines_height(fonts().strong, capital(gap.site.words), room) + px(2);
  for (const std::string& line : lines) h += ui::lines_height(fonts().small, line, width - px(6)) + px(2);
  const ui::AreaState s =
      ui::area(("plate." + std::to_string(index)).c_str(), {width, std::max(h + px(4), target_height())});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  if (s.hovered || chosen) list->AddRectFilled({from.x - px(6), from.y}, to, chosen ? t.accent_ground : t.hover, px(6));
  number_disc(list, {from.x + number_disc_radius(), from.y + px(4) + 0.5f * fonts().strong->FontSize}, index + 1, true,
              fits);
  float y = from.y + px(4);
  ui::put_text(list, fonts().small_strong, to.x - px(6), y + px(2), fits ? t.usual_text : t.overlap_text, at_end, 1);
  y += ui::put_lines(list, fonts().strong, from.x + indent, y, room, t.text, capital(gap.site.words)) + px(2);
  for (std::size_t i = 0; i < lines.size(); ++i)
    y +=
        ui::put_lines(list, fonts().small, from.x, y, width - px(6), i > 2 ? t.overlap_text : t.text, lines[i]) + px(2);
  if (s.clicked) run(w, "plate", {{"index", chosen ? -1 : index}});
}

}  // namespace

void plate_page(Workspace& w) {
  if (!has_cuts(w.current_plan()) || w.moment() == Moment::rest) {
    ui::paragraph(fonts().body, theme().text,
                  w.current_plan() && w.moment() == Moment::rest ? "Plates go on where the plan has the pieces."
                                                                 : "Plates join what was sawn: lay a cut first.");
    return;
  }
  if (!w.plates.of(w.readings.version())) {
    ui::soft_text(w.pieces.waiting() ? "The bone is being sawn." : "Being measured.");
    return;
  }
  const std::vector<PlateGap> gaps = w.plates.found();
  if (gaps.empty()) {
    ui::paragraph(fonts().body, theme().text,
                  "No plate site is known: its landmarks (NC and J of each side, the lower molars' contacts, Pog) are "
                  "not placed, or no bone is there.");
    return;
  }
  ui::soft_text(
      "In mm, contact in mm\xC2\xB2; screws of 6 mm, 4 mm from the edges. Press a site to see what stands against it.");
  ui::gap_above(4);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(px(8), px(2)));
  for (std::size_t i = 0; i < gaps.size(); ++i) plate_site_row(w, static_cast<int>(i), gaps[i]);
  ImGui::PopStyleVar();
  ui::gap_above(6);
}

}  // namespace intercusp
