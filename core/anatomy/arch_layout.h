// Where the teeth of an arch stand: along a line of contacts, each with its inclination and height.
#pragma once

#include <array>
#include <vector>

#include "anatomy/arch_curve.h"
#include "anatomy/crown_marks.h"
#include "anatomy/tooth_surface.h"

namespace intercusp {

/// How a tooth stands on the line of contacts.
struct Stance {
  double inclination_deg = 0;  ///< crown towards the lip or cheek
  double angulation_deg = 0;   ///< crown towards the midline
  double rotation_deg = 0;     ///< mesial side towards the cheek
  double level_mm = 0;         ///< height z of its first landmark (edge middle or first cusp tip) in the patient frame
};

/// A tooth that knows its landmarks, its stance and its two contact points on the line.
struct ArchTooth {
  PlacedTooth placed;
  std::vector<CrownMark> marks;
  Stance stance;
  Vec2 contact_mesial = Vec2::Zero(), contact_distal = Vec2::Zero();  ///< patient x, y
  double room_share = 1;   ///< of its width that it has on the line; less: its neighbours stand into its place
  double outwards_mm = 0;  ///< off the line, towards the lip or cheek

  double room_mm() const { return placed.form.width * room_share; }

  int iso() const { return placed.iso(); }
  /// Stands it between its contact points as its stance says.
  void stand();
  void raise(double mm) {
    placed.origin.z() += mm;
    stance.level_mm += mm;
  }
  void shift(const Vec2& by);
};

/// Teeth of one arch, from the last one on the patient's right to the last one on the left.
using ArchTeeth = std::vector<ArchTooth>;

const ArchTooth& tooth_of(const ArchTeeth& teeth, int iso);
ArchTooth& tooth_of(ArchTeeth& teeth, int iso);
std::vector<PlacedTooth> placed(const ArchTeeth& teeth);

/// Usual stance of a tooth in a normal arch. The facial surfaces then have the average inclinations of Andrews
/// 1972/1989 at the front (from memory); at the back the inclination makes the curve of Wilson.
Stance usual_stance(int iso);

/// Sets the contact points of one half, tooth by tooth outwards, with straight distances equal to the tooth widths.
/// `side`: +1 patient's left. The line begins at `apex` (patient x, y); in front of the first molar
/// the widths are taken `spacing` times.
void lay_out_half(ArchTeeth& teeth, double side, const ArchLine& line, const Vec2& apex, double spacing = 1);

}  // namespace intercusp
