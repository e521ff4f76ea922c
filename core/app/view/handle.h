#pragma once

#include <imgui.h>

#include <optional>
#include <string>

#include "app/scene/plan_edit.h"
#include "app/work/workspace.h"

namespace intercusp {

/// The movement handle: three straight and three turning parts at the pivot, each named by its quantity (forward, up,
/// left, pitch, roll, yaw). An axis that points at the viewer is pulled by a disc, down to bring the jaw nearer; a ring
/// seen from its edge is left out.
class Handle {
 public:
  /// Whether a handle is to be seen now (movement stop, a segment that can move, the plan shown).
  static bool shown(const Workspace& w);
  /// The part under a pixel of a view, empty when none.
  static std::string part_at(const Workspace& w, std::size_t view, float x, float y);
  static void draw(const Workspace& w, std::size_t view, ImDrawList* list, const std::string& lit);

  void grab(const Workspace& w, std::size_t view, const std::string& part, float x, float y);
  bool held() const { return !part_.empty(); }
  const std::string& part() const { return part_; }
  void release() { part_.clear(); }
  /// Value of the held quantity for the pointer's place, snapped to the step chosen (fine: a tenth of it).
  double value(const Workspace& w, float x, float y, bool fine);

 private:
  std::string part_;
  std::size_t view_ = 0;
  double begin_value_ = 0, begin_along_ = 0, last_angle_ = 0, turned_ = 0;
  Vec3 pivot_ = Vec3::Zero();
};

/// "forward", "up at the front": what a part does, in words, with its value.
std::string part_words(const std::string& part, double value);
double quantity_of(const Movement& m, const std::string& part);

}  // namespace intercusp
