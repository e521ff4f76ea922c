#include "occlusion/methods_page.h"

#include <cstdio>

#include "base/capital.h"
#include "occlusion/changed_by.h"
#include "occlusion/measure.h"

namespace intercusp {
namespace {

constexpr const char* kOpening = R"(# How the bite is measured

This page is made from the measure table of the program (`methods_page` in `core/occlusion`); a test holds it to
the table. Lengths are millimetres, angles degrees. Teeth are written in ISO 3950 two-digit notation, a landmark
as `16.mesiobuccal_cusp`. A measure whose landmarks are not all placed has no value; the program names what is
missing.

Where a source says "from memory", the publication was recalled and the number or wording not checked against
it. Where it says "common practice, no source", the trade does it so and no publication is claimed. Usual values
are means or ranges of published groups, or what an index scores as nothing. They are not goals of treatment.

)";

constexpr const char* kFrame = R"(## Frames and directions

**Patient frame.** DICOM patient axes (PS3.3 C.7.6.2): +x to the patient's left, +y posterior, +z superior.

**Occlusal frame** (maxillary occlusal plane, where the upper arch stands at that moment). Values are measured
in it unless a measure says otherwise.

- **u**, up: the unit normal of the plane through three points: MI, the midpoint of `11.incisal_edge_mid` and
  `21.incisal_edge_mid`, and a cusp on each side. The cusps are `26.mesiobuccal_cusp` and `16.mesiobuccal_cusp`;
  where one of them is missing, `27.mesiobuccal_cusp` and `17.mesiobuccal_cusp`; where one of those is missing
  too, `25.buccal_cusp` and `15.buccal_cusp`; always the same tooth on both sides. With L the left and R the
  right cusp, u has the direction of (L - MI) x (R - MI).
- **f**, forward, and **l**, to the patient's left, lie in that plane. Where both `raphe_anterior` and
  `raphe_posterior` exist, f is the direction from the posterior to the anterior one, projected on the plane,
  and l = u x f. Else l is the mean of the differences left minus right of `23.cusp_tip` and `13.cusp_tip`,
  `24.buccal_cusp` and `14.buccal_cusp`, `26.mesiobuccal_cusp` and `16.mesiobuccal_cusp`, `27.mesiobuccal_cusp`
  and `17.mesiobuccal_cusp`, as far as both of a pair exist, projected on the plane and brought to unit length;
  then f = l x u.
- Three points on one line, or a raphe that runs against the right and left teeth, give no frame.

A case without bone takes its patient frame from this frame at rest: x = l, y = -f, z = u, origin at MI.

**Midsagittal plane.** Through `N`; its normal, to the patient's left, is the mean of the unit directions from
right to left of the skull's pairs (`Po_right` to `Po_left`, `Or_right` to `Or_left`, and other points of the
skull that exist on both sides). A case without `N` or without a pair has none.

## Movements

A movement is said in the axes of the patient frame at rest, which never move with a segment: forward is -y, up
+z, left +x. It starts from where the segment stands. Rotations are about fixed axes through a pivot (the
midpoint of that arch's two central incisal edges unless another landmark is named, where it stands before the
movement): roll first, then pitch, then yaw,

    R = Rz(yaw) * Rx(-pitch) * Ry(roll)
    p' = R (p - pivot) + pivot + (left, -forward, up)

Positive pitch: the front goes up. Positive roll: the patient's left side goes down. Positive yaw: the front
goes to the patient's left. Roll 2, pitch 4, yaw 3 degrees give the rows (0.9981, -0.0522, 0.0312), (0.0499,
0.9962, 0.0714), (-0.0348, -0.0698, 0.9970).

Where targets leave a movement open, the smallest one is taken: least sum of squares of its free quantities, one
degree weighed like one millimetre, which is what a degree moves a point 57 mm from the pivot (about the length
of an arch).

## Uncertainty

The uncertainty of a value is one standard deviation. Unless a measure says otherwise it comes from the
landmarks alone: every coordinate of every landmark that the value rests on, also of those of the occlusal
frame, is taken to be off by the repeatability of a landmark, independently of all others. The repeatability is
a setting (`landmark_sd_mm` in the case file, `intercusp measure --landmark-sd MM`), 0.3 mm per axis by default
(common practice, no source). A landmark that the program proposed and nobody has confirmed may also lie elsewhere
than a person would put it: its confidence is the chance that it lies within 0.5 mm of there, and the standard
deviation per axis that gives this chance (a normal error along three axes) is added in squares. The error is carried through by central differences, the frame being taken again
for each displaced landmark. A frame that is given from elsewhere, and the midsagittal plane, are taken as
exact. Which pair, cusp or unit is read stays as it was. What is read between the scans has their error
instead: that of the gap, a setting (`scan_sd_mm`), 0.02 mm by default (common practice, no source); how the two
scans stand to each other is taken as exact.

A class near a boundary is shown with its neighbours: the quarter units that are at least one in twenty likely
under a normal error of that uncertainty, with their probabilities.

)";

std::string number(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.10g", value);
  return text;
}

std::string usual_line(const MeasureDefinition& d) {
  if (!d.usual) return "none";
  return number((*d.usual)[0]) + " to " + number((*d.usual)[1]) + " " + d.unit + "; " + d.usual_source;
}

// Landmarks as code, long lists as their first, and their number.
std::string needs_line(const MeasureDefinition& d) {
  constexpr std::size_t kMost = 8;
  if (d.needs.size() > kMost) {
    return "`" + d.needs.front() + "` to `" + d.needs.back() + "`, " + std::to_string(d.needs.size()) + " in all";
  }
  std::string line;
  for (const std::string& name : d.needs) line += (line.empty() ? "`" : ", `") + name + "`";
  return line;
}

std::string entry(const MeasureDefinition& d) {
  std::string text = "### " + d.name + "\n\n`" + d.id + "`, " + d.unit + "\n\n" + d.definition + "\n\n";
  if (!d.positive.empty()) text += "- Positive: " + d.positive + "\n";
  if (!d.negative.empty()) text += "- Negative: " + d.negative + "\n";
  text += "- Landmarks: " + needs_line(d) + "\n";
  text += "- Definition after: " + d.source + "\n";
  text += "- Changed by: " + changed_by(d.id) + "\n";
  return text + "- Usual: " + usual_line(d) + "\n\n";
}

}  // namespace

std::string methods_page() {
  std::string page = std::string(kOpening) + kFrame, group;
  for (const MeasureDefinition& d : measure_table()) {
    if (d.group != group) page += "## " + capital(d.group) + "\n\n";
    group = d.group;
    page += entry(d);
  }
  page.pop_back();  // one line end at the end of the page
  return page;
}

}  // namespace intercusp
