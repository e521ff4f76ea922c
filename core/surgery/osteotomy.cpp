#include "surgery/osteotomy.h"

#include <array>
#include <cmath>
#include <cstdio>

namespace intercusp {
namespace {

struct KindName {
  CutKind kind;
  const char *name, *words;
};
constexpr std::array<KindName, 5> kKinds{{{CutKind::lefort1, "lefort1", "the Le Fort I cut"},
                                          {CutKind::split_right, "split_right", "the sagittal split on the right"},
                                          {CutKind::split_left, "split_left", "the sagittal split on the left"},
                                          {CutKind::chin, "chin", "the chin cut"},
                                          {CutKind::pieces, "pieces", "the cut of the upper jaw into pieces"}}};

constexpr char kPractice[] = "common practice, no source";

CutSetting saw(double usual) {
  return {"saw_mm", usual, 0, 3, "thickness of the saw", kPractice};
}

CutSetting limit(const char* key, double usual, const char* words, const char* source) {
  return {key, usual, 0, 20, words, source};
}

std::vector<CutSetting> lefort_settings() {
  const char* apex = "Bell 1975 and textbooks (from memory)";
  return {{"level_right_mm", 5, -10, 25, "height above the highest root apex on the right", apex},
          {"level_left_mm", 5, -10, 25, "height above the highest root apex on the left", apex},
          {"slope_right_deg", 0, -30, 30, "rise backwards on the right", kPractice},
          {"slope_left_deg", 0, -30, 30, "rise backwards on the left", kPractice},
          {"step_right_mm", 0, -10, 10, "how much higher the cut lies behind the buttress on the right", kPractice},
          {"step_left_mm", 0, -10, 10, "how much higher the cut lies behind the buttress on the left", kPractice},
          {"behind_mm", 0, -15, 15, "how far behind the pterygomaxillary junction the cut ends", kPractice},
          saw(0.7),
          limit("apex_limit_mm", 5, "least distance from a root apex", apex),
          limit("foramen_limit_mm", 5, "least distance from the infraorbital foramen and the floor of the orbit",
                kPractice)};
}

std::vector<CutSetting> split_settings() {
  return {{"level_mm", 5, -15, 25, "height above the lingula", "5 to 10 mm above the foramen (from memory)"},
          {"depth_share", 0.5, 0.2, 0.8, "depth of the split in the ramus, as a share of its thickness from outside",
           kPractice},
          {"plate_mm", 3, 1, 8, "depth of the split below the outer plate at its front end",
           "canal to outer plate 3 to 6 mm, medians of 314 scans (PMC6856235)"},
          {"front_mm", 0, -15, 20, "front end of the split, behind the contact of first and second molar", kPractice},
          saw(0.7),
          limit("apex_limit_mm", 2, "least distance from a root apex", kPractice),
          limit("foramen_limit_mm", 5, "least distance from the mental foramen", kPractice),
          limit("canal_limit_mm", 1, "least distance from the wall of the mandibular canal",
                "marrow under 0.8 to 1 mm raises lasting numbness, Yamamoto 2002 (from memory)")};
}

std::vector<CutSetting> chin_settings() {
  return {{"level_mm", 5, -5, 20, "depth below the lower root apices and the mental foramina", kPractice},
          {"slope_deg", 0, -40, 40, "rise backwards", kPractice},
          saw(0.7),
          limit("apex_limit_mm", 5, "least distance from a root apex", kPractice),
          limit("foramen_limit_mm", 5, "least distance from the mental foramen", kPractice)};
}

std::vector<CutSetting> pieces_settings() {
  return {{"count", 2, 2, 3, "number of pieces", kPractice},
          {"front_teeth", 3, 1, 4, "teeth of each side in the front piece of three", kPractice},
          saw(0.5),
          limit("apex_limit_mm", 1, "least distance from a root apex: half the room between two roots of 2 to 3 mm",
                kPractice)};
}

}  // namespace

std::string cut_kind_name(CutKind kind) {
  return kKinds[static_cast<std::size_t>(kind)].name;
}

std::string cut_words(CutKind kind) {
  return kKinds[static_cast<std::size_t>(kind)].words;
}

std::optional<CutKind> cut_kind_of(const std::string& name) {
  for (const KindName& k : kKinds) {
    if (name == k.name) return k.kind;
  }
  return std::nullopt;
}

const std::vector<CutSetting>& cut_settings(CutKind kind) {
  static const std::array<std::vector<CutSetting>, 5> all{lefort_settings(), split_settings(), split_settings(),
                                                          chin_settings(), pieces_settings()};
  return all[static_cast<std::size_t>(kind)];
}

Result<Osteotomy> make_osteotomy(CutKind kind, const std::map<std::string, double>& given) {
  Osteotomy cut{kind, {}};
  std::string known;
  for (const CutSetting& setting : cut_settings(kind)) {
    cut.settings[setting.key] = setting.usual;
    known += (known.empty() ? "" : ", ") + setting.key;
  }
  for (const auto& [key, value] : given) {
    if (cut.settings.count(key) == 0) {
      return Error{cut_words(kind) + " has no setting " + key, "", "its settings are " + known};
    }
    for (const CutSetting& setting : cut_settings(kind)) {
      if (setting.key != key) continue;
      if (!(value >= setting.least && value <= setting.most)) {
        const auto number = [](double v) {
          char text[32];
          std::snprintf(text, sizeof text, "%g", v);
          return std::string(text);
        };
        return Error{key + " (" + setting.words + ") lies outside its range", "",
                     "choose " + number(setting.least) + " to " + number(setting.most)};
      }
    }
    cut.settings[key] = value;
  }
  if (kind == CutKind::pieces) {
    cut.settings["count"] = std::round(cut.settings["count"]);
    cut.settings["front_teeth"] = std::round(cut.settings["front_teeth"]);
  }
  return cut;
}

}  // namespace intercusp
