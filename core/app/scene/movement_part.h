#pragma once

#include <string>

#include "surgery/movement.h"

namespace intercusp {

/// The number behind the name of a quantity: forward, up, left, pitch, roll or yaw; any other name means yaw.
inline double& movement_part(Movement& m, const std::string& id) {
  if (id == "forward") return m.forward_mm;
  if (id == "up") return m.up_mm;
  if (id == "left") return m.left_mm;
  if (id == "pitch") return m.pitch_deg;
  if (id == "roll") return m.roll_deg;
  return m.yaw_deg;
}

}  // namespace intercusp
