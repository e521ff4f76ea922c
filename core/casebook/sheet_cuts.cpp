// The cuts of the plan: where they lie, and what is nearest to them.
#include <cmath>

#include "casebook/sheet_parts.h"

namespace intercusp {

namespace {

/// "right 5.0, left 5.0 mm above the highest root tip", or each side with what it is counted from.
std::string levels_words(const std::vector<CutLevel>& levels) {
  std::string words;
  for (std::size_t i = 0; i < levels.size(); ++i) {
    const CutLevel& level = levels[i];
    const bool same_follows = i + 1 < levels.size() && levels[i + 1].from == level.from;
    add_phrase(words, (level.side.empty() ? "" : level.side + " ") + fixed_number(level.mm, 1) +
                          (same_follows ? "" : " mm " + level.from));
  }
  return words;
}

/// Says the settings of one cut that place it, those alone that are not as usual.
class CutSettingWords {
 public:
  explicit CutSettingWords(const SheetCut& of) : cut_(of.cut), words_(levels_words(of.levels)) {}

  std::string run() {
    switch (cut_.kind) {
      case CutKind::lefort1:
        sides("slope", "_deg", "rising ", "falling ", " degrees backwards");
        sides("step", "_mm", "", "", " mm", " higher behind the buttress", " lower behind the buttress");
        either("behind_mm", " mm behind the pterygomaxillary junction", " mm before the pterygomaxillary junction",
               "ends ");
        break;
      case CutKind::split_right:
      case CutKind::split_left:
        say("depth " + fixed_number(100 * cut_.setting("depth_share"), 0) + " % of the ramus' thickness from outside");
        if (unusual("plate_mm"))
          say(fixed_number(cut_.setting("plate_mm"), 1) + " mm below the outer plate at its front end");
        either("front_mm", " mm behind the contact of the first and second molar",
               " mm before the contact of the first and second molar", "front end ");
        break;
      case CutKind::chin:
        either("slope_deg", " degrees rising backwards", " degrees falling backwards", "");
        break;
      case CutKind::pieces:
        say(fixed_number(cut_.setting("count"), 0) + " pieces");
        if (cut_.setting("count") > 2)
          say(fixed_number(cut_.setting("front_teeth"), 0) + " teeth of each side in the front one");
        break;
    }
    say("saw " + fixed_number(cut_.kerf_mm(), 1) + " mm");
    return words_;
  }

 private:
  void say(const std::string& phrase) { add_phrase(words_, phrase); }

  bool unusual(const char* key) const {
    for (const CutSetting& setting : cut_settings(cut_.kind)) {
      if (setting.key == key) return cut_.setting(key) != setting.usual;
    }
    return false;
  }

  void either(const char* key, const char* positive, const char* negative, const char* before) {
    const double value = cut_.setting(key);
    if (value != 0) say(before + fixed_number(std::abs(value), 1) + (value > 0 ? positive : negative));
  }

  /// One setting of both sides, each side for itself where they differ.
  void sides(const std::string& name, const std::string& unit, const char* up, const char* down,
             const std::string& after, const char* higher = "", const char* lower = "") {
    const double right = cut_.setting((name + "_right" + unit).c_str()),
                 left = cut_.setting((name + "_left" + unit).c_str());
    const auto one = [&](double value) {
      return (value > 0 ? up : down) + fixed_number(std::abs(value), 1) + after + (value > 0 ? higher : lower);
    };
    if (right == left) {
      if (right != 0) say(one(right));
      return;
    }
    if (right != 0) say("right " + one(right));
    if (left != 0) say("left " + one(left));
  }

  const Osteotomy& cut_;
  std::string words_;
};

std::string nearest_words(const SheetCut& cut) {
  if (!cut.nearest) return "no root or nerve placed";
  const CutClearance& row = *cut.nearest;
  if (row.distance_mm < 0) return "MEETS the " + row.words + " by " + fixed_number(-row.distance_mm, 2) + " mm";
  return fixed_number(row.distance_mm, 2) + " mm to the " + row.words +
         (row.too_near() ? " - UNDER " + fixed_number(row.limit_mm, 1) : "");
}

}  // namespace

std::string cut_title(CutKind kind) {
  const std::string words = cut_words(kind);
  return capital(words.rfind("the ", 0) == 0 ? words.substr(4) : words);
}

SheetTable cut_table(const SheetCase& s) {
  SheetTable table{
      "Cuts and the nearest root, canal or foramen", {"cut", "settings", "nearest"}, {0.17, 0.45, 0.38}, {}, {}};
  for (const SheetCut& cut : s.cuts)
    table.rows.push_back({cut_title(cut.cut.kind), CutSettingWords(cut).run(), nearest_words(cut)});
  if (table.rows.empty())
    table.notes.push_back(s.has_bone ? "The plan makes no cut." : "This case holds no bone, so nothing is cut.");
  return table;
}

}  // namespace intercusp
