#include "app/work/seated_jaw.h"

#include <algorithm>

namespace intercusp {
namespace {

bool can_seat(const Workspace& w, const char* jaw) {
  return can_move(w.planned(), segment_with_teeth(w.planned(), jaw)).ok();
}

}  // namespace

std::string seated_jaw(const Workspace& w) {
  const std::vector<std::string> all = seated_jaws(w);
  if (std::find(all.begin(), all.end(), w.seating.jaw) != all.end()) return w.seating.jaw;
  if (!upper_pieces(w.planned()).empty() && can_seat(w, "upper")) return kSeatedInPieces;
  return segment_with_teeth(w.planned(), "upper") == "maxilla" || !can_seat(w, "lower") ? "upper" : "lower";
}

std::vector<std::string> seated_jaws(const Workspace& w) {
  std::vector<std::string> out;
  if (can_seat(w, "upper")) out.emplace_back("upper");
  if (!out.empty() && !upper_pieces(w.planned()).empty()) out.emplace_back(kSeatedInPieces);
  if (can_seat(w, "lower")) out.emplace_back("lower");
  return out;
}

}  // namespace intercusp
