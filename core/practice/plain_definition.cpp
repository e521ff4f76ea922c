#include "practice/plain_definition.h"

namespace intercusp {

namespace {

constexpr const char* kMolar =
    "Compared are the mesiobuccal (front outer) cusp of the upper first molar and the buccal (front outer) groove of "
    "the lower first molar, along the row of teeth. Cusp over the groove, within an eighth of a unit: Class I. Cusp in "
    "front of the groove: Class II. Cusp behind it: Class III.";
constexpr const char* kCanine =
    "Compared are the tip of the upper canine and the place where the lower canine touches the first premolar, along "
    "the row of teeth. Tip over that place, within an eighth of a unit: Class I. Tip in front of it: Class II. Tip "
    "behind it: Class III.";
constexpr const char* kClass =
    "The molar relation of both sides. Both sides alike: that class. One side Class I, the other not: the class of the "
    "other side, as a subdivision. Class II is division 2 where the upper central incisors lean back (the crown "
    "towards the tongue), else division 1. Class II on one side and Class III on the other: both are said.";
constexpr const char* kDivision =
    "Class II is division 2 where the upper central incisors lean back (the crown towards the tongue), and division 1 "
    "where they lean forward. Measured is how far the front surface of the crown leans from the perpendicular on the "
    "occlusal plane.";
constexpr const char* kSubdivision =
    "A subdivision is a bite of which one side is Class I and the other is not. It is named here after the side that "
    "is not Class I; some teachers name the other one.";
constexpr const char* kOverjet =
    "How far the edge of the upper central incisor lies in front of the edge of the lower one, parallel to the "
    "occlusal plane, from front surface to front surface. Of the two pairs the larger counts. Reverse: the lower edge "
    "lies in front.";
constexpr const char* kOverbite =
    "How far the edge of the upper central incisor covers the lower one, at right angles to the occlusal plane. It is "
    "read on the pair whose overjet is larger. Open: the edges do not overlap.";
constexpr const char* kOpenBite =
    "An anterior open bite: at least one upper front tooth (canine to canine) does not overlap the lower tooth of the "
    "same place. A gap remains between their edges, at right angles to the occlusal plane.";
constexpr const char* kCrossbite =
    "The buccal (outer) cusps of the upper back teeth usually stand outside those of the lower teeth. A tooth is in "
    "crossbite where its buccal cusp stands inside, nearer to the tongue, than that of the lower tooth of the same "
    "place. Of a molar the mesiobuccal (front outer) cusp counts.";
constexpr const char* kMidline =
    "The dental midline of an arch is the place where its two central incisors touch. The question is how far the "
    "upper one lies from the lower one, sideways. Left and right are the patient's.";
constexpr const char* kCrowding =
    "The widths of the ten teeth from second premolar to second premolar are added, and the length of the arch that is "
    "there for them is taken off. More tooth than room is crowding, more room than tooth is spacing.";
constexpr const char* kToothSize =
    "The widths of the six front teeth are added in each arch. The lower sum should be 77.2 % of the upper one; what "
    "is more than that is too much in the lower arch, and the other way round.";
constexpr const char* kSpee =
    "Seen from the side, in the lower arch: the greatest depth of the cusps, from the tip of the canine to the buccal "
    "(outer) cusps of the molars, below a straight line from the edge of the central incisor to the distobuccal (rear "
    "outer) cusp of the second molar. Reverse: all cusps stand above the line.";
constexpr const char* kSkeletal =
    "ANB: the angle between the lines from N (nasion, the root of the nose) to A (the deepest point of the upper jaw "
    "below the nose) and to B (the deepest point of the lower jaw above the chin), seen from the side. 0 to 4 degrees "
    "is Class I, more "
    "is Class II, less than 0 is Class III.";
constexpr const char* kNotation =
    "The first digit is the quadrant (1 upper right, 2 upper left, 3 lower left, 4 lower right, the patient's sides), "
    "the second the tooth, counted from the midline.";
constexpr const char* kLandmark =
    "Mesial is towards the midline along the row of teeth, distal away from it. Buccal is on the side of the cheek, "
    "palatal (above) and lingual (below) on the side of the tongue.";
constexpr const char* kCorrection =
    "Looked for is an overjet of 1 to 4 mm and Class I molars on both sides. A movement from front to back changes the "
    "overjet and both molars by nearly the same amount: it must fit all three.";
constexpr const char* kInterference =
    "The place where the teeth of both jaws reach deepest into each other once the jaw has moved.";
constexpr const char* kSheet =
    "The number before, and what the movement adds to it or takes from it. Upper jaw forward or lower jaw back makes "
    "the overjet larger; upper jaw down or lower jaw up makes the overbite larger; a midline goes with its jaw.";

}  // namespace

const char* plain_definition(QuestionKind kind) {
  // In the order of the kinds.
  static constexpr const char* kDefinitions[kQuestionKinds] = {
      kMolar,    kCanine,    kClass,      kDivision,     kSubdivision, kOverjet, kOverbite,
      kOpenBite, kCrossbite, kMidline,    kCrowding,     kToothSize,   kSpee,    kSkeletal,
      kNotation, kLandmark,  kCorrection, kInterference, kSheet};
  return kDefinitions[static_cast<std::size_t>(kind)];
}

}  // namespace intercusp
