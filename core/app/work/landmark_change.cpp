#include "app/work/landmark_change.h"

#include "app/view/layout.h"
#include "base/json_read.h"

namespace intercusp {

std::optional<Vec3> place_in(const Json& args) {
  const auto* at = member(args, "at");
  if (!at || !at->is_array() || at->size() != 3) return std::nullopt;
  Vec3 p;
  for (std::size_t k = 0; k < 3; ++k) {
    if (!(*at)[k].is_number()) return std::nullopt;
    p[static_cast<Eigen::Index>(k)] = (*at)[k].get<double>();
  }
  return p.allFinite() ? std::optional<Vec3>(p) : std::nullopt;
}

void change_landmarks(Workspace& w, Case next, const std::string& words, const std::string& merge) {
  const bool known_before = w.now().frame_known;
  next.landmarks_edited = true;
  settle_frame(next);
  const bool new_frame = next.frame_known && !known_before;
  w.document.change(std::move(next), words, merge);
  w.refresh();
  if (new_frame && w.tool == Tool::click_teeth)
    set_layout(w, w.layout);
  else if (new_frame)
    for (std::size_t i = 0; i < w.views.size(); ++i) send_view(w, i, "front");
}

}  // namespace intercusp
