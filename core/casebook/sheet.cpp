#include "casebook/sheet.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include <nlohmann/json.hpp>

#include "base/calendar.h"
#include "casebook/digest.h"
#include "casebook/sheet_parts.h"

namespace intercusp {

namespace {

Result<SheetCase> staged(const Case& c, const std::string& name) {
  SheetCase s;
  s.whole = &c;
  s.plan = c.find_plan(name);
  if (!s.plan) {
    std::string known;
    for (const Plan& plan : c.plans) known += (known.empty() ? "" : ", ") + plan.name;
    return Error{"the case has no plan named " + name, "",
                 known.empty() ? "make one first" : "its plans are: " + known};
  }
  auto cut = with_cuts(c, s.plan);
  if (!cut.ok()) return cut.error();
  s.cut = std::move(cut).value();
  const std::pair<Moment, SegmentPoses*> moments[] = {
      {Moment::rest, &s.rest}, {Moment::intermediate, &s.intermediate}, {Moment::planned, &s.planned}};
  for (const auto& [at, poses] : moments) {
    auto found = segment_poses(s.cut, s.plan, at);
    if (!found.ok()) return found.error();
    *poses = std::move(found).value();
  }
  s.two_jaws = jaws_moved(*s.plan).both() && !only_the_chin(*s.plan);
  s.has_bone = std::any_of(s.cut.bodies.begin(), s.cut.bodies.end(), [](const Body& b) { return !is_dental(b.name); });
  for (const PlanEntry& entry : s.plan->entries) {
    if (entry.kind != PlanEntry::Kind::cut) continue;
    s.cuts.push_back({entry.cut, std::nullopt, {}});
    auto placed = place_cut(s.cut, entry.cut);
    if (!placed.ok()) continue;
    if (!placed.value().clearances.empty()) s.cuts.back().nearest = placed.value().clearances.front();
    s.cuts.back().levels = std::move(placed.value().levels);
  }
  s.plates = plate_gaps(s.cut, s.plan, s.planned);
  s.plates_at_rest = plate_gaps(s.cut, s.plan, s.rest);
  s.read_rest = measure_all(measure_input(s.cut, s.rest));
  s.read_between = measure_all(measure_input(s.cut, s.intermediate));
  s.read_planned = measure_all(measure_input(s.cut, s.planned));
  s.on_the_way = overlaps_on_the_way(s.cut, *s.plan);
  return s;
}

std::vector<std::string> caution_words(const SheetCase& s) {
  std::vector<std::string> words{
      "A planning and teaching aid, not cleared as a medical device. Verify every number against the records before "
      "use; local "
      "rules and licensed practice decide.",
      "Usual ranges and advice are what the literature reports, never an order. Bone surfaces are as good as the CT "
      "they come "
      "from; vessels, nerves and soft tissue are not shown.",
      "A splint holds the jaws to each other, not the vertical: check it in theatre by the distances of this sheet. "
      "Condyles: "
      "where the plan puts them, not where they will sit."};
  if (!s.cut.recipe.empty()) words.push_back("A sample case of invented data: for practice only.");
  return words;
}

/// Where bones meet, at the planned position and, where both jaws move, at the intermediate one.
SheetBone bones_that_meet(const SheetCase& s, const std::vector<ContactPair>& planned) {
  SheetBone bone{bone_in_way(s.cut, s.plan, s.planned, planned), {}};
  if (!s.two_jaws) return bone;
  const auto pairs = contact_pairs(s.cut, s.intermediate, s.cut.contact_settings);
  if (pairs.ok()) bone.intermediate = bone_in_way(s.cut, s.plan, s.intermediate, pairs.value());
  return bone;
}

/// In the order of the page. Contact of bones that nobody asked for gets the lines that the others leave.
std::vector<SheetTable> all_tables(const SheetCase& s, const SheetBone& bone, double clearance_mm,
                                   std::size_t warnings) {
  constexpr std::size_t kLines = 92, kOfOneTable = 3, kLeast = 6;
  std::vector<SheetTable> tables{
      movement_table(s),  cut_table(s),      plate_table(s),    condyle_table(s, bone.planned),
      occlusion_table(s), vertical_table(s), stability_table(s)};
  if (SheetTable face = face_table(s); !face.rows.empty()) tables.push_back(std::move(face));
  std::size_t used = 14 + warnings;
  for (const BonePlace& place : bone_places(bone.planned)) used += place.planned;
  for (const SheetTable& table : tables)
    used += table.narrow ? 0 : table.rows.size() + table.notes.size() + kOfOneTable;
  const std::size_t most = std::max(kLeast, kLines > used ? kLines - used : 0);
  tables.insert(tables.begin() + 2, bone_table(s, bone, clearance_mm, most));
  return tables;
}

}  // namespace

std::string fixed_number(double value, int decimals) {
  const double scale = std::pow(10.0, decimals);
  if (std::abs(std::round(value * scale)) < 0.5) value = 0;  // never "-0.0"
  char text[48];
  std::snprintf(text, sizeof text, "%.*f", decimals, value);
  return text;
}

std::string towards(double mm, const char* positive, const char* negative, int decimals) {
  const std::string size = fixed_number(std::abs(mm), decimals);
  if (size.find_first_not_of("0.") == std::string::npos) return size;
  return size + " " + (mm > 0 ? positive : negative);
}

std::string counted(std::size_t number, const std::string& one) {
  return std::to_string(number) + " " + one + (number == 1 ? "" : "s");
}

void add_phrase(std::string& list, const std::string& phrase, const char* between) {
  list += (list.empty() ? "" : between) + phrase;
}

std::string jaw_segment(const SheetCase& s, bool lower) {
  for (const std::string& name : movable_segments(s.cut)) {
    if (lower ? name == "mandible" : name == "maxilla") return name;
  }
  return lower ? "lower" : "upper";
}

std::optional<Vec3> mean_of(const PointMap& points, const std::vector<std::string>& names) {
  Vec3 sum = Vec3::Zero();
  for (const std::string& name : names) {
    const auto found = points.find(name);
    if (found == points.end()) return std::nullopt;
    sum += found->second;
  }
  return Vec3(sum / static_cast<double>(names.size()));
}

std::string relation_words(double mm, const std::string& relation) {
  const std::string size = fixed_number(std::abs(mm), 2) + " Class " + relation;
  if (relation != "I" || size.rfind("0.00", 0) == 0) return size;
  return size + (mm > 0 ? ", towards II" : ", towards III");
}

std::string sheet_segment_words(const std::string& segment) {
  static const std::pair<const char*, const char*> kWords[] = {{"upper", "Upper jaw"},
                                                               {"maxilla", "Upper jaw"},
                                                               {"maxilla_right", "Right piece of the upper jaw"},
                                                               {"maxilla_left", "Left piece of the upper jaw"},
                                                               {"maxilla_front", "Front piece of the upper jaw"},
                                                               {"lower", "Lower jaw"},
                                                               {"mandible", "Lower jaw"},
                                                               {"ramus_right", "Right ramus"},
                                                               {"ramus_left", "Left ramus"},
                                                               {"chin", "Chin"}};
  for (const auto& [name, words] : kWords) {
    if (segment == name) return words;
  }
  return segment;
}

Result<TheatreSheet> make_sheet(const Case& c, const std::string& plan, const SheetOrder& order) {
  if (!parse_date(order.date))
    return Error{"\"" + order.date + "\" is not a day of the calendar", "date", "write it as --date 2026-02-21"};
  auto made = staged(c, plan);
  if (!made.ok()) return made.error();
  const SheetCase& s = made.value();
  auto pairs = contact_pairs(s.cut, s.planned, s.cut.contact_settings);
  if (!pairs.ok()) return pairs.error();
  const SheetTeeth teeth = sheet_teeth(s, pairs.value());
  TheatreSheet sheet;
  sheet.case_id = c.id;
  sheet.plan = plan;
  sheet.digest = plan_digest(c, *s.plan);
  sheet.staging = staging_words(s);
  sheet.checked_by = order.checked_by;
  sheet.date = order.date;
  sheet.agreed = order.agreed;
  if (sheet.agreed.empty()) sheet.agreed = {"Not agreed: no agreement is recorded in this case."};
  const SheetBone bone = bones_that_meet(s, pairs.value());
  sheet.warnings = sheet_warnings(s, teeth, bone);
  sheet.movements = sheet_movements(s);
  sheet.tables = all_tables(s, bone, order.clearance_mm, sheet.warnings.size());
  sheet.bite = sheet_bite(s, teeth);
  sheet.views = sheet_views(s);
  sheet.cautions = caution_words(s);
  return sheet;
}

nlohmann::json sheet_json(const TheatreSheet& sheet) {
  using nlohmann::json;
  json tables = json::array();
  for (const SheetTable& table : sheet.tables) {
    tables.push_back({{"title", table.title}, {"head", table.head}, {"rows", table.rows}, {"notes", table.notes}});
  }
  return {
      {"case", sheet.case_id},
      {"plan", sheet.plan},
      {"digest", sheet.digest},
      {"staging", sheet.staging},
      {"checked_by", sheet.checked_by.empty() ? json() : json(sheet.checked_by)},
      {"date", sheet.date},
      {"warnings", sheet.warnings},
      {"movements", sheet.movements},
      {"agreed", sheet.agreed},
      {"tables", std::move(tables)},
      {"contacts", {{"right", sheet.bite.contacts_right}, {"left", sheet.bite.contacts - sheet.bite.contacts_right}}},
      {"cautions", sheet.cautions}};
}

}  // namespace intercusp
