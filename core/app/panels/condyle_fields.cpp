// The condyle centres of a case without bone, typed or dragged as distances from the lower incisors.
#include <cmath>

#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/quantity.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/condyle_centres.h"

namespace intercusp {

namespace {

constexpr const char* kKeys[] = {"back_mm", "up_mm", "aside_mm"};
constexpr const char* kHeads[] = {"behind", "above", "to the side"};

void heads(float left, float each) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  for (int i = 0; i < 3; ++i)
    ui::put_text(ImGui::GetWindowDrawList(), fonts().small, at.x + left + each * static_cast<float>(i), at.y,
                 theme().soft, kHeads[i]);
  ImGui::Dummy({1, fonts().small->FontSize});
}

void side_row(Workspace& w, bool right, float left, float each) {
  const std::string side = right ? "right" : "left";
  const auto placed = condyle_place(w, right);
  const CondylePlace shown = placed.value_or(average_condyle());
  const double values[] = {shown.back_mm, shown.up_mm, shown.aside_mm};
  const ImVec2 at = ImGui::GetCursorScreenPos();
  ui::put_text(ImGui::GetWindowDrawList(), fonts().body, at.x,
               at.y + std::floor(0.5f * (target_height() - fonts().body->FontSize)), theme().text,
               right ? "Right" : "Left");
  for (int i = 0; i < 3; ++i) {
    ImGui::SetCursorScreenPos({at.x + left + each * static_cast<float>(i), at.y});
    ui::QuantityLook look;
    look.words = placed ? amount(values[i], 1) + (values[i] < -0.05 ? " below" : " mm") : "set";
    look.value = values[i];
    look.width = each - px(4);
    look.hint =
        "Distance from the lower incisors, along the occlusal plane of the upper teeth; drag, or click and type";
    const std::string id = "condyle." + side + "." + kKeys[i];
    const ui::QuantityEdit e = ui::quantity(id.c_str(), look);
    if (e.value) run(w, "condyle_centres", {{"side", side}, {kKeys[i], *e.value}, {"merge", id}});
    if (e.finished) w.document.seal();
  }
}

}  // namespace

void condyle_fields(Workspace& w) {
  ui::soft_text("Centres of the condyles, mm from the lower incisors (from a face-bow or a lateral film):");
  if (!can_say_condyles(w)) {
    ui::soft_text("Place the upper incisors and first molars, and 31 and 41, first.");
    return;
  }
  const float left = px(46), each = std::floor((ImGui::GetContentRegionAvail().x - left) / 3);
  heads(left, each);
  side_row(w, true, left, each);
  side_row(w, false, left, each);
  ui::ButtonLook quiet;
  quiet.hint =
      "Bonwill's triangle, 101.6 mm a side, under Balkwill's angle of 26\xC2\xB0: an average, not this patient's";
  if (ui::button("condyle.average", "Average centres", quiet)) run(w, "condyle_centres", {{"average", true}});
}

}  // namespace intercusp
