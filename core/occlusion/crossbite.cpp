#include "occlusion/groups.h"
#include "occlusion/tooth_offsets.h"

namespace intercusp {
namespace {

std::string opposed(int upper, int lower) {
  return std::to_string(upper) + "/" + std::to_string(lower);
}

std::vector<ToothOffset> incisor_offsets() {
  std::vector<ToothOffset> out;
  for (const auto& [upper, lower] : {std::pair{12, 42}, std::pair{11, 41}, std::pair{21, 31}, std::pair{22, 32}}) {
    out.push_back({opposed(upper, lower), tooth_point(lower, "incisal_edge_labial"),
                   tooth_point(upper, "incisal_edge_labial"), ReadAlong::forward});
  }
  return out;
}

// Heights of the edges and canine tips: how far the upper one stands above the lower one.
std::vector<ToothOffset> edge_gaps() {
  std::vector<ToothOffset> out;
  for (const auto& [upper, lower] : {std::pair{13, 43}, std::pair{12, 42}, std::pair{11, 41}, std::pair{21, 31},
                                     std::pair{22, 32}, std::pair{23, 33}}) {
    const char* edge = upper % 10 == 3 ? "cusp_tip" : "incisal_edge_mid";
    out.push_back({opposed(upper, lower), tooth_point(lower, edge), tooth_point(upper, edge), ReadAlong::up});
  }
  return out;
}

std::vector<ToothOffset> back_offsets(bool right, bool inner) {
  std::vector<ToothOffset> out;
  for (int position = 4; position <= 7; ++position) {
    const int upper = 10 * (right ? 1 : 2) + position, lower = 10 * (right ? 4 : 3) + position;
    const bool molar = position >= 6;
    const char* outer_cusp = molar ? "mesiobuccal_cusp" : "buccal_cusp";
    const char* inner_cusp = molar ? "mesiopalatal_cusp" : "palatal_cusp";
    out.push_back({opposed(upper, lower), tooth_point(lower, outer_cusp),
                   tooth_point(upper, inner ? inner_cusp : outer_cusp), ReadAlong::outwards, lower});
  }
  return out;
}

MeasureDefinition offsets_measure(std::vector<ToothOffset> offsets, bool least) {
  MeasureDefinition d;
  d.unit = "mm";
  d.group = "crossbite and open bite";
  d.needs = points_of(offsets);
  d.missing = [offsets](const MeasureInput& in) { return missing_offsets(in, offsets); };
  d.measure = [offsets, least](const MeasureInput& in) { return measure_offsets(in, offsets, least); };
  return d;
}

constexpr const char* kEachTooth =
    " Every pair that is placed is read and reported; pairs within a millionth of a millimetre count as equal, and the "
    "first of them, from the patient's right, is then named.";

MeasureDefinition anterior_crossbite() {
  MeasureDefinition d = offsets_measure(incisor_offsets(), true);
  d.id = "anterior_crossbite";
  d.name = "Anterior crossbite";
  d.definition =
      std::string(
          "The least overjet of the four upper incisors: how far the labial line angle of the upper edge, at "
          "its middle, lies in front of that of the lower incisor of the same place (12 against 42, 11 "
          "against 41, 21 against 31, 22 against 32), along f. A pair whose overjet is negative is in "
          "anterior crossbite.") +
      kEachTooth;
  d.source = "overjet below zero on at least one incisor: textbook, from memory";
  d.usual = {{1.0, 3.0}};
  d.usual_source = "ABO Discrepancy Index, which scores 1 to 3 mm with nothing (Cangialosi et al. 2004)";
  d.positive = "no incisor in crossbite";
  d.negative = "at least one incisor in crossbite";
  d.sides = BriefSides{"", "crossed"};
  return d;
}

MeasureDefinition posterior_crossbite(bool right) {
  MeasureDefinition d = offsets_measure(back_offsets(right, false), true);
  const std::string side = right ? "right" : "left";
  d.id = "posterior_crossbite_" + side;
  d.name = "Posterior crossbite, " + side;
  d.definition =
      "The least distance by which an upper buccal cusp lies outwards of the lower one of the same place "
      "(buccal cusps of the premolars, mesiobuccal cusps of the first and second molars). "
      "Outwards is "
      "perpendicular to u and to the line from contact_distal to contact_mesial of the lower tooth, away from the "
      "tongue; where these are not placed, along l to the patient's " +
      side + ". A pair whose distance is negative is in crossbite." + kEachTooth;
  d.source = "upper buccal cusp lingual to the lower: textbook, from memory";
  d.usual = {{1.0, 3.0}};
  d.usual_source = "textbook value, from memory";
  d.positive = "upper buccal cusps outside the lower";
  d.negative = "at least one tooth in crossbite";
  d.sides = BriefSides{"", "crossed"};
  return d;
}

MeasureDefinition scissor_bite(bool right) {
  MeasureDefinition d = offsets_measure(back_offsets(right, true), false);
  const std::string side = right ? "right" : "left";
  d.id = "scissor_bite_" + side;
  d.name = "Scissor bite, " + side;
  d.definition =
      "The greatest distance by which an upper palatal cusp (palatal cusps of the premolars, mesiopalatal "
      "cusps of the first and second molars) lies outwards of the lower buccal cusp (mesiobuccal on molars) "
      "of the same place. Outwards is perpendicular to u and to the line from contact_distal to contact_mesial of the "
      "lower tooth, away from the tongue; where these are not placed, along l to the patient's " +
      side + ". A pair whose distance is positive is in scissor bite." + kEachTooth;
  d.source = "upper palatal cusp buccal to the lower buccal cusp: textbook, from memory";
  d.usual = {{-8.0, 0.0}};
  d.usual_source = "no scissor bite: below zero; the lower end is common practice, no source";
  d.positive = "at least one tooth in scissor bite";
  d.negative = "palatal cusps inside the lower buccal cusps";
  d.sides = BriefSides{"scissor", "free"};
  return d;
}

MeasureDefinition open_bite_front() {
  MeasureDefinition d = offsets_measure(edge_gaps(), false);
  d.id = "open_bite_anterior";
  d.name = "Anterior open bite";
  d.definition = std::string(
                     "The greatest gap between the front teeth along u: how far the middle of an upper incisal edge "
                     "(the cusp tip of a canine) stands above that of the lower tooth of the same place. A pair whose "
                     "gap is positive is open.") +
                 kEachTooth;
  d.source = "overbite below zero in the incisor and canine region: textbook, from memory";
  d.usual = {{-4.0, 0.0}};
  d.usual_source = "no open bite: below zero; the lower end is common practice, no source";
  d.positive = "at least one tooth open";
  d.negative = "all overlap";
  d.sides = BriefSides{"open", "closed"};
  return d;
}

}  // namespace

std::vector<MeasureDefinition> crossbite_measures() {
  return {anterior_crossbite(), posterior_crossbite(true), posterior_crossbite(false),
          scissor_bite(true),   scissor_bite(false),       open_bite_front()};
}

}  // namespace intercusp
