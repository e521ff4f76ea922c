// What a bone surface, as it came, can be used for.
#pragma once

#include <string>
#include <vector>

#include "geometry/surface.h"

namespace intercusp {

/// The connected parts of a surface, by what they are. The main one has the largest area.
struct BoneParts {
  std::size_t parts = 0;
  std::size_t inner_walls = 0;   ///< inside the main part: marrow spaces and air cells drawn as walls
  std::size_t loose_pieces = 0;  ///< small ones outside of it: metal scatter, chips of the segmentation
  std::size_t other_bones = 0;   ///< the rest, each of at least a hundredth of the main part's area
  std::size_t open_edges = 0,
              undecided_edges = 0;  ///< of all parts; shared by three, or between triangles turned apart
  double border_mm = 0;             ///< length of all open edges
  double main_area_mm2 = 0, loose_area_mm2 = 0;

  bool closed() const { return open_edges == 0 && undecided_edges == 0; }
};

/// O(n), and a nearest point for each part inside the main one's box.
BoneParts bone_parts(const Surface& surface);

/// What can and cannot be done with the surface, one sentence each; the first says how it stands as a whole.
std::vector<std::string> bone_sentences(const BoneParts& parts);

}  // namespace intercusp
