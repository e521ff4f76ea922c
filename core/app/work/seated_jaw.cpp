#include "app/work/seated_jaw.h"

namespace intercusp {
namespace {

bool can_seat(const Workspace& w, const char* jaw) {
  return can_move(w.planned(), segment_with_teeth(w.planned(), jaw)).ok();
}

}  // namespace

std::string seated_jaw(const Workspace& w) {
  if (!w.seating.jaw.empty()) return w.seating.jaw;
  return segment_with_teeth(w.planned(), "upper") == "maxilla" || !can_seat(w, "lower") ? "upper" : "lower";
}

bool chooses_seated_jaw(const Workspace& w) {
  return can_seat(w, "upper") && can_seat(w, "lower");
}

}  // namespace intercusp
