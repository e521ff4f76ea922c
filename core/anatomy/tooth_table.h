// Average sizes of the permanent teeth.
#pragma once

#include <array>
#include <optional>

namespace intercusp {

/// One row of the table of average tooth sizes, mm. Mesiodistal crown: greatest distance between the contact points,
/// parallel to the occlusal surface. Buccolingual crown: greatest distance perpendicular to it. Crown length: cusp tip
/// or edge to the most apical point of the cemento-enamel line on the labial side. Root length: from there to the apex.
struct ToothSize {
  int jaw_and_position;  ///< ISO number of the right-hand tooth: 11..18 or 41..48
  double crown_length, root_length;
  double mesiodistal, mesiodistal_cervix;
  double buccolingual, buccolingual_cervix;
  double cervical_curve_mesial, cervical_curve_distal;
  double inner_root_length;  ///< lingual root where the source gives one of its own, else equal to root_length
  const char* provenance;    ///< how the row was obtained: "looked up" or "from memory"
};

/// Source of every row: Ash & Nelson, Wheeler's Dental Anatomy, Physiology and Occlusion, Table 1-1 (specifications for
/// drawing and carving teeth of average size). Editions differ by 0.5 mm in the crown length of the lower incisors and
/// the buccolingual size of the lower molars.
const std::array<ToothSize, 16>& tooth_table();

/// The row for a permanent ISO tooth (left teeth share the right-hand row); empty for anything else.
std::optional<ToothSize> tooth_size(int iso);

}  // namespace intercusp
