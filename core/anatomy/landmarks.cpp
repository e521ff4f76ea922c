#include "anatomy/landmarks.h"

#include <algorithm>
#include <array>
#include <cctype>

#include "anatomy/notation.h"

namespace intercusp {

namespace {

struct Feature {
  const char* name;
  const char* hint;  ///< "... of the upper right first molar" follows
};

constexpr Feature kContactMesial{"contact_mesial",
                                 "mesial contact point (where it touches its neighbour on the midline side)"};
constexpr Feature kContactDistal{"contact_distal",
                                 "distal contact point (where it touches its neighbour on the far side)"};
constexpr Feature kApex{"apex", "tip of the (longest) root"};

using Features = std::vector<Feature>;

void add_common(Features& list) {
  list.push_back(kContactMesial);
  list.push_back(kContactDistal);
  list.push_back(kApex);
}

Features front_tooth_features(bool canine) {
  Features list;
  if (canine) {
    list.push_back({"cusp_tip", "tip"});
  } else {
    list.push_back({"incisal_edge_mid", "middle of the cutting edge"});
  }
  list.push_back({"incisal_edge_mesial", "mesial corner of the cutting edge (on the midline side)"});
  list.push_back({"incisal_edge_distal", "distal corner of the cutting edge (away from the midline)"});
  list.push_back(
      {"incisal_edge_labial", "middle of the cutting edge, where it turns into the labial (front) surface,"});
  list.push_back({"labial_mid", "middle of the labial (front) surface"});
  list.push_back({"gingival_mid", "lowest point of the visible front surface at the gum, in the middle,"});
  list.push_back({"cingulum", "cingulum (bulge on the inner side near the gum)"});
  add_common(list);
  return list;
}

Features premolar_features(int iso) {
  Features list{{"buccal_cusp", "tip of the buccal (outer) cusp"}};
  list.push_back({is_upper(iso) ? "palatal_cusp" : "lingual_cusp",
                  is_upper(iso) ? "tip of the palatal (inner) cusp" : "tip of the lingual (inner) cusp"});
  list.push_back({"central_groove", "middle of the central groove, between the cusps,"});
  add_common(list);
  if (iso == 14 || iso == 24) {
    list.push_back({"apex_buccal", "tip of the buccal (outer) root"});
    list.push_back({"apex_palatal", "tip of the palatal (inner) root"});
  }
  return list;
}

Features molar_features(int iso) {
  Features list{{"mesiobuccal_cusp", "tip of the mesiobuccal (front outer) cusp"}};
  const bool five = !is_upper(iso) && position(iso) == 6;
  list.push_back({"distobuccal_cusp",
                  five ? "tip of the distobuccal (middle outer) cusp" : "tip of the distobuccal (rear outer) cusp"});
  if (is_upper(iso)) {
    list.push_back({"mesiopalatal_cusp", "tip of the mesiopalatal (front inner) cusp"});
    list.push_back({"distopalatal_cusp", "tip of the distopalatal (rear inner) cusp"});
  } else {
    list.push_back({"mesiolingual_cusp", "tip of the mesiolingual (front inner) cusp"});
    list.push_back({"distolingual_cusp", "tip of the distolingual (rear inner) cusp"});
    if (five) list.push_back({"distal_cusp", "tip of the distal (small rear outer) cusp"});
  }
  list.push_back(
      {"buccal_groove", "point where the buccal (front outer) groove crosses the rim of the chewing surface"});
  list.push_back({"central_fossa", "central fossa (deepest point in the middle of the chewing surface)"});
  add_common(list);
  if (is_upper(iso)) {
    list.push_back({"apex_mesiobuccal", "tip of the mesiobuccal (front outer) root"});
    list.push_back({"apex_distobuccal", "tip of the distobuccal (rear outer) root"});
    list.push_back({"apex_palatal", "tip of the palatal (inner) root"});
  } else {
    list.push_back({"apex_mesial", "tip of the mesial (front) root"});
    list.push_back({"apex_distal", "tip of the distal (rear) root"});
  }
  return list;
}

Features features_of_tooth(int iso) {
  if (!is_permanent_tooth(iso)) return {};
  if (is_incisor(iso) || is_canine(iso)) return front_tooth_features(is_canine(iso));
  return is_premolar(iso) ? premolar_features(iso) : molar_features(iso);
}

struct JawPoint {
  const char* name;
  Jaw jaw;
  const char* hint;
  bool paired;  ///< exists as NAME_right and NAME_left
};

constexpr std::array<JawPoint, 33> kJawPoints{{
    {"raphe_anterior", Jaw::upper, "front end of the midline seam of the palate, behind the incisive papilla", false},
    {"raphe_posterior", Jaw::upper, "rear end of the midline seam of the palate", false},
    {"N", Jaw::skull, "nasion: front end of the seam between frontal and nasal bones, on the midline", false},
    {"S", Jaw::skull, "sella: centre of the pituitary fossa", false},
    {"A", Jaw::upper, "point A: deepest midline point of the upper jaw between nasal spine and incisors", false},
    {"B", Jaw::lower, "point B: deepest midline point of the lower jaw between incisors and chin", false},
    {"ANS", Jaw::upper, "tip of the anterior nasal spine", false},
    {"PNS", Jaw::upper, "tip of the posterior nasal spine", false},
    {"Pog", Jaw::lower, "pogonion: foremost midline point of the chin", false},
    {"Gn", Jaw::lower, "gnathion: midline point of the chin between pogonion and menton", false},
    {"Me", Jaw::lower, "menton: lowest midline point of the chin", false},
    {"Ba", Jaw::skull, "basion: front rim of the great foramen, on the midline", false},
    {"Po", Jaw::skull, "porion: top of the bony ear canal", true},
    {"Or", Jaw::skull, "orbitale: lowest point of the rim of the eye socket", true},
    {"Co", Jaw::lower, "condylion: rearmost upper point of the condyle", true},
    {"condyle_centre", Jaw::lower, "centre of the condyle", true},
    {"Go", Jaw::lower, "gonion: middle of the angle of the lower jaw", true},
    {"Ar", Jaw::lower, "articulare: where, seen from the side, the rear edge of the lower jaw crosses the skull base",
     true},
    {"lingula", Jaw::lower, "lingula: tongue of bone before the mandibular foramen, inside the ramus", true},
    {"mandibular_foramen", Jaw::lower, "mandibular foramen: where the nerve enters the ramus, inside", true},
    {"mental_foramen", Jaw::lower, "mental foramen: where the nerve leaves the lower jaw, below the premolars", true},
    {"mandibular_canal_ramus", Jaw::lower, "mandibular canal in the ramus", true},
    {"mandibular_canal_angle", Jaw::lower, "mandibular canal at the angle", true},
    {"mandibular_canal_turn", Jaw::lower, "mandibular canal behind the last molar", true},
    {"mandibular_canal_back", Jaw::lower, "mandibular canal below the second molar", true},
    {"mandibular_canal_front", Jaw::lower, "mandibular canal below the first molar", true},
    {"infraorbital_foramen", Jaw::skull, "infraorbital foramen: where the nerve leaves the cheek bone below the eye",
     true},
    {"greater_palatine_foramen", Jaw::upper,
     "greater palatine foramen: beside the last molars, at the rear of the palate", true},
    {"palatine_canal_top", Jaw::skull, "upper mouth of the descending palatine canal", true},
    {"PMJ", Jaw::upper, "pterygomaxillary junction: bottom of the groove between tuberosity and pterygoid plates",
     true},
    {"J", Jaw::upper, "jugale: deepest point between the cheekbone buttress and the bone of the teeth", true},
    {"NC", Jaw::upper, "side rim of the bony nasal opening where it is widest", true},
    {"Zy", Jaw::skull, "zygion: point of the cheek arch farthest to the side", true},
}};

/// `Po_left` is {`Po` row, " on the left"}; nullptr when the name is unknown.
std::pair<const JawPoint*, std::string> find_jaw_point(const std::string& name) {
  for (const JawPoint& point : kJawPoints) {
    const std::string base = point.name;
    if (!point.paired && name == base) return {&point, ""};
    if (point.paired && name == base + "_right") return {&point, ", on the patient's right"};
    if (point.paired && name == base + "_left") return {&point, ", on the patient's left"};
  }
  return {nullptr, ""};
}

/// Splits `16.buccal_groove`; the tooth is 0 unless two digits and a dot come first.
std::pair<int, std::string> split_tooth(const std::string& name) {
  const auto digit = [&](std::size_t i) { return name[i] >= '0' && name[i] <= '9'; };
  if (name.size() < 4 || !digit(0) || !digit(1) || name[2] != '.') return {0, ""};
  return {10 * (name[0] - '0') + (name[1] - '0'), name.substr(3)};
}

std::optional<Feature> find_feature(int iso, const std::string& feature) {
  for (const Feature& f : features_of_tooth(iso))
    if (feature == f.name) return f;
  // The lower second and third molars usually have four cusps; a fifth is a normal variant.
  if (is_molar(iso) && !is_upper(iso) && feature == "distal_cusp")
    return Feature{"distal_cusp", "tip of the distal (small rear outer) cusp"};
  return std::nullopt;
}

}  // namespace

bool lies_on_scan(const std::string& name) {
  const bool tooth = !name.empty() && std::isdigit(static_cast<unsigned char>(name[0]));
  return (tooth && name.find(".apex") == std::string::npos) || name.rfind("raphe_", 0) == 0;
}

Jaw jaw_of_landmark(const std::string& name) {
  const int iso = split_tooth(name).first;
  if (iso != 0) return is_upper(iso) ? Jaw::upper : Jaw::lower;
  const JawPoint* point = find_jaw_point(name).first;
  return point ? point->jaw : Jaw::skull;
}

bool known_landmark(const std::string& name) {
  const auto [iso, feature] = split_tooth(name);
  return iso != 0 ? find_feature(iso, feature).has_value() : find_jaw_point(name).first != nullptr;
}

std::vector<std::string> landmarks_of_tooth(int iso_tooth) {
  std::vector<std::string> names;
  for (const Feature& f : features_of_tooth(iso_tooth)) names.push_back(std::to_string(iso_tooth) + "." + f.name);
  return names;
}

std::string landmark_hint(const std::string& name) {
  const auto [iso, feature] = split_tooth(name);
  if (const auto found = find_feature(iso, feature)) return std::string(found->hint) + " of the " + tooth_name(iso);
  const auto [point, side] = find_jaw_point(name);
  return point ? point->hint + side : "";
}

}  // namespace intercusp
