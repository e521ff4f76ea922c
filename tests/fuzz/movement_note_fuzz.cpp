#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>

#include "surgery/movement_note.h"

using namespace intercusp;

// Any text is either refused with a sentence or gives a note that, where it can be solved, writes and reads back to the
// same sentence.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const PointMap points = {
      {"incisors", Vec3(0, -40, 0)}, {"molar_right", Vec3(-26, -5, 1)}, {"molar_left", Vec3(26, -5.5, 0.8)}};
  const Vec3& pivot = points.at("incisors");
  const auto again = [&pivot](const std::string& text) -> std::string {
    const Result<MovementNote> note = parse_movement_note(text, points);
    if (!note) {
      if (note.error().sentence().size() < 10) std::abort();
      return {};
    }
    const Result<Movement> movement = solve_movement(points, pivot, note.value().targets, note.value().fixed);
    if (!movement) return {};
    // Turned so far, more than one pair of angles says the same turn.
    if (std::abs(movement.value().pitch_deg) > 60 || std::abs(movement.value().roll_deg) > 60) return {};
    return write_movement_note("Upper jaw", points, pose_of(movement.value(), pivot));
  };
  const std::string once = again(std::string(reinterpret_cast<const char*>(data), size));
  if (once.empty()) return 0;
  const std::string twice = again(once);
  if (!twice.empty() && twice != once) std::abort();
  return 0;
}
