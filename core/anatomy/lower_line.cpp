#include "anatomy/lower_line.h"

#include <algorithm>

namespace intercusp {

namespace {

constexpr int kFrontSteps = 160;

/// Front part as a cubic whose handles have `fullness` times the straight distance: level at the midline, along the
/// guide at the molar.
std::vector<Vec2> front_part(const ArchLine& guide, const LowerLineRequest& request, double fullness) {
  const Vec2 end = guide.at(request.molar_at) - request.apex;
  const double handle = fullness * end.norm();
  const Vec2 p1(0.6 * handle, 0), p2 = end - 1.25 * handle * guide.direction(request.molar_at);
  std::vector<Vec2> points;
  for (int i = 0; i <= kFrontSteps; ++i) {
    const double t = static_cast<double>(i) / kFrontSteps, u = 1 - t;
    points.push_back(3 * u * u * t * p1 + 3 * u * t * t * p2 + t * t * t * end);
  }
  return points;
}

/// Arc length left over in front of the molar once the five teeth stand on the front part.
double room_left(const ArchLine& front, const LowerLineRequest& request, double spacing) {
  double s = 0;
  for (const double width : request.widths) s = front.after_chord(s, spacing * width);
  return front.length() - s;
}

/// Root of a falling or rising function by halving; the function changes sign between the ends.
template <class Function>
double halving(const Function& f, double low, double high) {
  const bool rising = f(low) < 0;
  for (int round = 0; round < 45; ++round) {
    const double mid = 0.5 * (low + high);
    ((f(mid) < 0) == rising ? low : high) = mid;
  }
  return 0.5 * (low + high);
}

}  // namespace

std::optional<LowerLine> lower_line(const ArchLine& guide, const LowerLineRequest& request) {
  constexpr double kLow = 0.08, kHigh = 0.92, kMost = 0.06;
  double spacing = 1;
  const auto room = [&](double fullness) {
    return room_left(ArchLine(front_part(guide, request, fullness)), request, spacing);
  };
  double fullness = kLow;
  const bool too_long = room(kLow) > 0, too_short = !too_long && room(kHigh) < 0;
  if (too_long || too_short) {
    fullness = too_long ? kLow : kHigh;
    const ArchLine front(front_part(guide, request, fullness));
    const double most = too_long ? 1 + kMost : 1 - kMost;
    if ((room_left(front, request, most) > 0) == too_long) return std::nullopt;
    spacing =
        halving([&](double by) { return room_left(front, request, by); }, std::min(1.0, most), std::max(1.0, most));
  } else {
    fullness = halving(room, kLow, kHigh);
  }
  std::vector<Vec2> points = front_part(guide, request, fullness);
  for (double s = request.molar_at + 0.25; s < guide.length() + 12; s += 0.25)
    points.push_back(guide.at(s) - request.apex);
  return LowerLine{ArchLine(std::move(points)), spacing};
}

}  // namespace intercusp
