// Bone to take off, by place: what the plan implies whole and first, then contact that nobody asked for.
#include <algorithm>
#include <cmath>

#include "casebook/sheet_parts.h"

namespace intercusp {

namespace {

void join_place(BonePlace& place, const BoneInWay& row) {
  const OverlapRegion& region = row.part.overlap;
  place.deepest_mm = std::max(place.deepest_mm, region.deepest_mm);
  place.thickness_mm = std::max(place.thickness_mm, row.part.thickness_mm);
  place.volume_mm3 += region.volume_mm3.value_or(0);
  place.open = place.open || !region.volume_mm3;
  place.touches.insert(place.touches.end(), row.touches.begin(), row.touches.end());
  std::stable_sort(place.touches.begin(), place.touches.end(),
                   [](const Touched& a, const Touched& b) { return a.distance_mm < b.distance_mm; });
}

/// Never "0" where something overlaps, and never a number where a surface is open.
std::string volume_words(double mm3, bool open) {
  if (open) return mm3 < 0.5 ? "open" : fixed_number(mm3, 0) + " + open";
  return mm3 < 0.5 ? "under 0.5" : fixed_number(mm3, 0);
}

std::string touched_words(const BonePlace& place) {
  if (place.touches.empty()) return "-";
  Touched nearest = place.touches.front();
  const std::string side = place.side + " ", tail = " in its canal";
  if (nearest.words.rfind(side, 0) == 0) nearest.words = nearest.words.substr(side.size());
  const std::size_t at = nearest.words.find(tail);
  if (at != std::string::npos) nearest.words.erase(at);
  return nearest.distance_mm <= 0 ? "meets the " + nearest.words
                                  : nearest.words + " " + fixed_number(nearest.distance_mm, 1);
}

/// What the rows left out: how many, how much, and the deepest of them by name.
std::string hidden_words(const std::vector<BonePlace>& places, std::size_t from) {
  double volume = 0;
  bool open = false;
  for (std::size_t i = from; i < places.size(); ++i) {
    volume += places[i].volume_mm3;
    open = open || places[i].open;
  }
  const BonePlace& deepest = places[from];
  return "And CONTACT at " + counted(places.size() - from, "more place") + " (" + volume_words(volume, open) +
         " mm3), the deepest " + fixed_number(deepest.deepest_mm, 2) + " mm: " + deepest.words +
         " (all: clearance list).";
}

/// What the intermediate position meets that the planned one does not, in words; empty where nothing is.
std::string intermediate_words(const SheetBone& bone) {
  std::string words;
  const std::vector<BonePlace> planned = bone_places(bone.planned);
  for (const BonePlace& place : bone_places(bone.intermediate)) {
    const bool also =
        std::any_of(planned.begin(), planned.end(), [&](const BonePlace& other) { return other.words == place.words; });
    if (!also) add_phrase(words, place.words + ", " + fixed_number(place.deepest_mm, 2) + " deep", "; ");
  }
  return words.empty() ? words : "Only in the intermediate position: " + words + ".";
}

}  // namespace

bool in_joint(const BoneInWay& row) {
  return row.part.site.id == "joint";
}

std::vector<BonePlace> bone_places(const std::vector<BoneInWay>& rows) {
  std::vector<BonePlace> places;
  for (const BoneInWay& row : rows) {
    if (in_joint(row)) continue;
    const auto same = std::find_if(places.begin(), places.end(), [&](const BonePlace& p) {
      return p.words == row.part.site.words && p.planned == row.planned;
    });
    BonePlace& place = same != places.end() ? *same : places.emplace_back();
    place.words = row.part.site.words;
    place.side = row.part.site.side;
    place.planned = row.planned;
    join_place(place, row);
  }
  std::stable_sort(places.begin(), places.end(), [](const BonePlace& a, const BonePlace& b) {
    return a.planned != b.planned ? a.planned : a.deepest_mm > b.deepest_mm;
  });
  return places;
}

SheetTable bone_table(const SheetCase& s, const SheetBone& bone, double clearance_mm, std::size_t most) {
  SheetTable table{"Bone to remove, by site (deepest / thickness in mm, volume in mm3)",
                   {"site", "", "deepest", "thick", "volume", "comes near"},
                   {0.43, 0.1, 0.08, 0.065, 0.085, 0.24},
                   {},
                   {}};
  const std::vector<BonePlace> places = bone_places(bone.planned);
  const auto asked = static_cast<std::size_t>(
      std::count_if(places.begin(), places.end(), [](const BonePlace& p) { return p.planned; }));
  const std::size_t shown = std::min(asked + most, places.size());
  for (std::size_t i = 0; i < shown; ++i) {
    const BonePlace& place = places[i];
    table.rows.push_back({capital(place.words), place.planned ? "planned" : "CONTACT",
                          fixed_number(place.deepest_mm, 2), fixed_number(place.thickness_mm, 2),
                          volume_words(place.volume_mm3, place.open), touched_words(place)});
  }
  if (shown < places.size()) table.notes.push_back(hidden_words(places, shown));
  if (!places.empty()) {
    table.notes.push_back(
        "planned: wedge along the cut, listed whole; CONTACT: nobody asked for it. Leave a clearance of " +
        fixed_number(clearance_mm, 1) + " mm.");
  } else {
    table.notes.push_back(s.has_bone ? "No bone is in the way of the planned position."
                                     : "This case holds no bone, so none can be in the way.");
  }
  if (const std::string between = intermediate_words(bone); !between.empty()) table.notes.push_back(between);
  return table;
}

}  // namespace intercusp
