#include "app/panels/bite_card.h"
#include "app/panels/panels.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

void card(Workspace& w, float width) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const Rect r{at.x, at.y, width, card_height()};
  const BiteCardData now = bite_card_data(w.readings.now(), &w.contacts.teeth());
  const BiteCardData start = bite_card_data(w.readings.start(), nullptr);
  const CardDoors doors = draw_bite_card(ImGui::GetWindowDrawList(), r, now, w.moved() ? &start : nullptr);
  for (const auto& [id, door] : doors) {
    ImGui::SetCursorScreenPos({door.x, door.y});
    const ui::AreaState s = ui::area(("card." + id).c_str(), {door.w, door.h});
    if (s.hovered)
      ImGui::GetWindowDrawList()->AddRect({door.x, door.y}, {door.x + door.w, door.y + door.h},
                                          with_alpha(theme().accent, 0.5f), px(6), 0, px(1));
    if (s.clicked) run(w, "explain", {{"id", w.explained == id ? "" : id}});
  }
  ImGui::SetCursorScreenPos(at);
  ImGui::Dummy({width, r.h});
  ui::note_rect("bite_card", {r.x, r.y}, {r.x + r.w, r.y + r.h});
}

}  // namespace

void reading_panel(Workspace& w, const Rect& r, bool side_by_side) {
  if (r.w <= 0 || r.h <= 0) return;
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(px(12), px(10)));
  const bool scrolls = !side_by_side && r.h < card_height() + px(120);  // beside a low view
  begin_panel("reading", r, scrolls);
  ImDrawList* list = ImGui::GetWindowDrawList();
  side_by_side ? list->AddLine({r.x, r.y}, {r.x + r.w, r.y}, theme().line)
               : list->AddLine({r.x, r.y}, {r.x, r.y + r.h}, theme().line);
  if (!w.readings.trouble().empty()) ui::paragraph(fonts().small, theme().overlap_text, w.readings.trouble().c_str());
  const float width = side_by_side ? px(348) : ImGui::GetContentRegionAvail().x;
  card(w, width);
  if (side_by_side) ImGui::SameLine(0, px(20));
  ImGui::BeginGroup();
  number_table(w, scrolls);
  ImGui::EndGroup();
  ImGui::End();
  ImGui::PopStyleVar();
}

}  // namespace intercusp
