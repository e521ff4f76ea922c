#include "app/view/splint_overlay.h"

#include <cmath>

#include "app/scene/words.h"
#include "app/theme.h"
#include "app/view/pick.h"
#include "app/view/screen_place.h"
#include "app/work/splint.h"

namespace intercusp {

namespace {

constexpr double kArrowBefore = 1.5;             // mm in front of the splint, where no tooth hides the arrow
constexpr double kArrowFrom = 13, kArrowTo = 4;  // mm from the splint's middle, along the way

void draw_way_in(ImDrawList* list, ImVec2 from, ImVec2 to, ImU32 colour) {
  const float length = std::hypot(to.x - from.x, to.y - from.y);
  if (length < px(8)) return;  // seen along it
  const ImVec2 u{(to.x - from.x) / length, (to.y - from.y) / length}, n{-u.y, u.x};
  const float head = px(10);
  const ImVec2 neck{to.x - u.x * head, to.y - u.y * head};
  const ImVec2 a{neck.x + n.x * 0.6f * head, neck.y + n.y * 0.6f * head},
      b{neck.x - n.x * 0.6f * head, neck.y - n.y * 0.6f * head};
  const ImU32 casing = with_alpha(theme().panel, 0.85f);
  list->AddLine(from, neck, casing, px(6));
  list->AddTriangle(to, a, b, casing, px(3.5f));
  list->AddLine(from, neck, colour, px(2.5f));
  list->AddTriangleFilled(to, a, b, colour);
}

std::string tilt_words(const SplintSeat& seat) {
  const auto part = [](double deg, const char* positive, const char* negative) -> std::string {
    if (std::abs(deg) < 0.05) return {};
    return amount(std::abs(deg), 1) + "\xC2\xB0 " + (deg > 0 ? positive : negative);
  };
  const std::string forward = part(seat.path.forward_deg, "forward", "back");
  const std::string left = part(seat.path.left_deg, "left", "right");
  if (forward.empty() && left.empty()) return "square";
  return "from " + forward + (forward.empty() || left.empty() ? "" : ", ") + left;
}

void draw_paths(const Workspace& w, const MadeSplint& made, const View& v, ImDrawList* list, Labels& labels) {
  if (!w.splint.paths || w.section.on) return;
  const Box& box = made.answer.body.surface->box();
  const Vec3 before(box.center().x(), box.min().y() - kArrowBefore, box.center().z());
  const Splint& splint = made.answer.made.splint;
  for (const bool upper : {true, false}) {
    if (!jaw_shown(w, !upper) || (v.shown == Shown::upper && !upper) || (v.shown == Shown::lower && upper)) continue;
    const SplintSeat& seat = upper ? splint.upper : splint.lower;
    const ImU32 colour = upper ? theme().upper : theme().lower;
    const ImVec2 from = screen_place(v, before + kArrowFrom * seat.off),
                 to = screen_place(v, before + kArrowTo * seat.off);
    draw_way_in(list, from, to, colour);
    labels.add(from, std::string(upper ? "upper" : "lower") + " seats " + tilt_words(seat), theme().text);
  }
}

void draw_thin_places(const Workspace& w, const MadeSplint& made, std::size_t index, ImDrawList* list, Labels& labels) {
  const View& v = w.views[index];
  const std::vector<ThinPlace>& thin = made.answer.made.splint.thin;
  for (std::size_t i = 0; i < thin.size(); ++i) {
    const bool chosen = w.splint.chosen_thin == static_cast<int>(i);
    if (!chosen && !w.splint.thickness) continue;
    const ImVec2 q = screen_place(v, thin[i].at);
    if (!v.rect.contains(q.x, q.y)) continue;
    const float radius = px(chosen ? 9 : 6);
    list->AddCircle(q, radius, theme().panel, 24, px(4));
    list->AddCircle(q, radius, theme().overlap, 24, px(2));
    labels.add(q, amount(thin[i].thickness_mm, 2) + " mm thick", theme().overlap_text, chosen);
  }
}

}  // namespace

void draw_splint_marks(const Workspace& w, std::size_t view, ImDrawList* list, Labels& labels) {
  const MadeSplint* made = shown_splint(w);
  if (!made) return;
  draw_paths(w, *made, w.views[view], list, labels);
  draw_thin_places(w, *made, view, list, labels);
}

}  // namespace intercusp
