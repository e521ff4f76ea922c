#pragma once

#include <optional>

#include "app/view/aim.h"
#include "app/view/cut_overlay.h"
#include "app/view/handle.h"
#include "app/work/workspace.h"

namespace intercusp {

/// The pointer and the keys on the views: turning, panning, zooming, the handle, placing landmarks.
class Hands {
 public:
  /// Reads the input of this frame; draws what belongs to the pointer (loupe, words) into `front`.
  void frame(Workspace& w, ImDrawList* front, unsigned picture, const Rect& view_area);
  const std::string& lit_part() const { return lit_; }
  /// Whether keys point instead of the mouse.
  bool aims() const { return aim_.at().has_value(); }
  std::optional<ImVec2> aim() const { return aim_.at(); }

 private:
  enum class Drag { none, pressed, turn, pan, handle, landmark, cut, paint };
  void press(Workspace& w, std::size_t view, float x, float y);
  void drag(Workspace& w, float x, float y, float dx, float dy);
  void release(Workspace& w, float x, float y);
  void hover(Workspace& w, std::size_t view, float x, float y);
  void wheel(Workspace& w, std::size_t view, float x, float y);
  void begin_pan(Workspace& w, std::size_t view, float x, float y);

  void point(Workspace& w, std::optional<std::size_t> over, float x, float y);
  void draw_pointed(Workspace& w, std::size_t over, ImDrawList* front, unsigned picture, const Rect& view_area, float x,
                    float y);

  Aim aim_;
  Drag drag_ = Drag::none;
  std::size_t view_ = 0;
  float press_x_ = 0, press_y_ = 0;
  Vec3 fixed_ = Vec3::Zero();
  Handle handle_;
  std::string lit_;
  std::string grabbed_landmark_;
  bool turned_ = false, whole_before_ = false;  ///< of a turn by hand: begun; everything was in the view before
  struct HeldCut {
    CutGrip grip;
    Osteotomy before;
  };
  std::optional<HeldCut> held_cut_;
  void begin_cut(Workspace& w, const CutGrip& grip);
  void drag_cut(Workspace& w, float y);
  std::optional<Vec3> last_dab_;  ///< of the stroke under way, scan space
  void paint_at(Workspace& w, float x, float y);
};

/// Keys that act while no text field has the focus.
void view_keys(Workspace& w);

}  // namespace intercusp
