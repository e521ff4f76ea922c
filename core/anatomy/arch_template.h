// The average arch to which scans are compared: crowns as points with normals, and where each carries its landmarks.
#pragma once

#include <vector>

#include "anatomy/arch_layout.h"

namespace intercusp {

/// One crown of the average arch. Points, normals and marks in tooth axes (see crown_form.h), mm.
struct TemplateCrown {
  PlacedTooth placed;  ///< where it stands in the arch's own frame, which is the patient frame of average jaws
  /// Visible surface: neither under gum nor in a contact. In an order whose every beginning covers the whole crown.
  std::vector<Vec3> points, normals;
  std::vector<CrownMark> marks;  ///< as crown_marks(), without the root apices
  /// On the line of contacts, at the level of the edges; neighbours name the same place of the arch.
  Vec3 contact_mesial = Vec3::Zero(), contact_distal = Vec3::Zero();

  int iso() const { return placed.iso(); }
};

/// Crowns from the last one on the patient's right to the last one on the left.
struct ArchTemplate {
  bool upper = true;
  std::vector<TemplateCrown> crowns;

  /// Direction in which the crowns look, in the arch's frame.
  Vec3 occlusal() const { return {0, 0, upper ? -1.0 : 1.0}; }
};

/// The average arch, from the average crowns alone; made when first asked for (some 0.1 s) and kept.
const ArchTemplate& arch_template(bool upper);

}  // namespace intercusp
