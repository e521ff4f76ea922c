// What is said about a splint: the report, the warnings and the note beside the file.
#include <cctype>
#include <cmath>
#include <cstdio>

#include <nlohmann/json.hpp>

#include "anatomy/tooth_at.h"
#include "casebook/reports.h"
#include "casebook/splint_case.h"
#include "casebook/splint_mend.h"
#include "surgery/splint_text.h"

namespace intercusp {

using nlohmann::json;

namespace {

constexpr double kScanError = 0.3;  ///< overlap that scan error and contact explain, mm

std::string with_number(const char* form, double value) {
  char text[512];
  std::snprintf(text, sizeof text, form, value);
  return text;
}

std::string stage_word(const CaseSplint& made) {
  return made.order.stage == Moment::intermediate ? "intermediate" : "final";
}

json point_json(const Vec3& p) {
  return {p.x(), p.y(), p.z()};
}

json finite_or_null(double value) {
  return std::isfinite(value) ? json(value) : json(nullptr);
}

std::string tooth_words(const PointMap& points, const Vec3& at) {
  const int upper = tooth_at(points, at, Jaw::upper), lower = tooth_at(points, at, Jaw::lower);
  if (upper == 0 && lower == 0) return "away from the teeth";
  if (upper == 0 || lower == 0) return "at " + std::to_string(upper + lower);
  return "between " + std::to_string(upper) + " and " + std::to_string(lower);
}

json seat_json(const SplintSeat& seat, const PointMap& points, const char* chosen) {
  const SplintRock& rock = seat.rock;
  const bool blocked = seat.blocked_mm > 0;
  return {{"path",
           {{"chosen", chosen},
            {"forward_deg", seat.path.forward_deg},
            {"left_deg", seat.path.left_deg},
            {"off", point_json(seat.off)}}},
          {"blocked_out_deepest", blocked ? json({{"mm", seat.blocked_mm},
                                                  {"at", point_json(seat.blocked_at)},
                                                  {"where", tooth_words(points, seat.blocked_at)}})
                                          : json(nullptr)},
          {"imprint_mm2", seat.imprint_mm2},
          {"blocked_out_mm2", seat.blocked_mm2},
          {"clearance_mm",
           {{"least", seat.checked ? finite_or_null(seat.off_least_mm) : json(nullptr)},
            {"most", seat.checked ? json(seat.off_most_mm) : json(nullptr)}}},
          {"seats", seat.checked ? json(seat.seats) : json(nullptr)},
          {"stopped_mm", seat.stopped_mm},
          {"touches_at", seat.seats ? json(nullptr) : point_json(seat.touch)},
          {"gap_mm", seat.gap_mm},
          {"beyond_mm", seat.beyond_mm},
          {"rock",
           {{"left_mm", rock.left_mm},
            {"forward_mm", rock.forward_mm},
            {"pitch_deg", rock.pitch_deg},
            {"roll_deg", rock.roll_deg},
            {"yaw_deg", rock.yaw_deg}}}};
}

/// How an arch's path of seating was chosen.
const char* path_choice(const SplintSettings& s, bool upper) {
  if (upper ? s.upper_path_given : s.lower_path_given) return "given";
  return s.find_path ? "found" : "straight";
}

const char* side_words(ThinSide side) {
  return side == ThinSide::wall    ? "a wall of the rim"
         : side == ThinSide::cover ? "over the tips"
                                   : "between the arches";
}

std::string way_words(double deg, const char* positive, const char* negative) {
  if (std::abs(deg) < 0.05) return "";
  return with_number("%.1f degrees ", std::abs(deg)) + (deg > 0 ? positive : negative);
}

std::string path_words(const SeatingPath& path) {
  const std::string forward = way_words(path.forward_deg, "forward", "back");
  const std::string left = way_words(path.left_deg, "to the patient's left", "to the patient's right");
  if (forward.empty() && left.empty()) return "straight, square to the chewing plane";
  return "comes off tilted " + forward + (forward.empty() || left.empty() ? "" : " and ") + left;
}

std::string larger(const std::array<double, 2>& pair, const char* form) {
  return with_number(form, std::max(pair[0], pair[1]));
}

std::string blocked_words(const PointMap& points, const SplintSeat& seat) {
  const double share = seat.imprint_mm2 > 0 ? 100 * seat.blocked_mm2 / seat.imprint_mm2 : 0;
  std::string text = with_number("  Undercuts are blocked out over %.0f %% of its imprint", share) +
                     with_number(" (%.0f mm2", seat.blocked_mm2);
  if (seat.blocked_mm > 0)
    text +=
        with_number(", standing off by up to %.2f mm more, ", seat.blocked_mm) + tooth_words(points, seat.blocked_at);
  return text + "): nothing but friction and wires keeps the splint from coming off.\n";
}

std::string seat_words(const PointMap& points, const char* arch, const SplintSeat& seat, const char* chosen) {
  std::string text = std::string(arch) + " arch: " + path_words(seat.path) + " (" + chosen + ").\n  ";
  if (!seat.checked) return text + "Seating not checked.\n";
  if (!seat.seats) {
    return text + "DOES NOT SEAT: touches " + with_number("%.2f mm before its place.\n", seat.stopped_mm);
  }
  text += "Seats fully without touching; least gap at rest " + with_number("%.2f mm; ", seat.gap_mm) +
          with_number("would touch %.2f mm beyond its place.\n", seat.beyond_mm);
  text += "  Can move at most " + larger(seat.rock.left_mm, "%.2f mm sideways, ") +
          larger(seat.rock.forward_mm, "%.2f mm forward or back, turn ") +
          larger(seat.rock.pitch_deg, "%.2f degrees in pitch, ") + larger(seat.rock.roll_deg, "%.2f in roll, ") +
          larger(seat.rock.yaw_deg, "%.2f in yaw.\n");
  return text + blocked_words(points, seat);
}

std::string settings_words(const SplintOrder& order) {
  const SplintSettings& s = order.settings;
  return with_number("clearance %.2f mm, ", s.clearance_mm) + with_number("rim %.1f mm wide, ", s.rim_width_mm) +
         with_number("%.1f mm over the upper tips, ", s.upper_depth_mm) +
         with_number("%.1f mm over the lower tips, ", s.lower_depth_mm) +
         with_number("least thickness %.1f mm, ", s.least_thickness_mm) +
         with_number("open where less than %.1f mm is left between the arches", s.open_below_mm) +
         (s.zone_room_mm > 0 ? with_number(", %.2f mm more room under painted zones", s.zone_room_mm) : std::string());
}

std::string fins_words(const PointMap& points, const CaseSplint& made) {
  const SplintFins& fins = made.splint.fins;
  if (fins.places == 0) return {};
  return "Fins into the gaps between neighbouring teeth and into fissures: thinner than " +
         with_number("%.1f mm in ", made.order.settings.least_thickness_mm) + std::to_string(fins.places) +
         with_number(" places, least %.2f mm ", fins.thinnest.thickness_mm) + tooth_words(points, fins.thinnest.at) +
         ". They carry no load, but a thin one can break off: trim what is loose or sharp before the splint goes "
         "into a mouth.\n";
}

std::string left_open_words(std::size_t places) {
  if (places == 0) return {};
  return "Left open, a ball of 1 mm each, where an arch touched on its way in: " + std::to_string(places) +
         (places == 1 ? " place" : " places") + ". The scan folds there: look at it.\n";
}

/// Letters that the font has, no more than `most`.
std::string for_raising(const std::string& words, std::size_t most) {
  std::string out;
  for (const char c : words.substr(0, most)) {
    const bool plain =
        (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-' || c == '.';
    out += plain ? static_cast<char>(std::toupper(static_cast<unsigned char>(c))) : '-';
  }
  return out;
}

std::string text_words(const CaseSplint& made) {
  const SplintOrder& order = made.order;
  if (!made.splint.text.empty()) {
    return "Raised on its outer rim: " + made.splint.text +
           with_number(" (letters %.1f mm high, ", made.splint.letter_mm + SplintText::kStroke) +
           with_number("strokes %.1f mm wide, ", SplintText::kStroke) +
           with_number("%.1f mm proud).\n", SplintText::kProud);
  }
  if (!order.raise_text) return "Nothing is raised on it: mark the print by the digest.\n";
  return "Its outer rim has no room for raised text, or the grid is too coarse: mark the print by the digest.\n";
}

std::string relation_words(const Case& c, const CaseSplint& made) {
  const PointMap points = points_at(c, made.poses);
  std::string text = "Relation: " + std::string(made.order.stage == Moment::intermediate
                                                    ? "the first jaw moved as planned, the other one not yet"
                                                    : "both jaws as planned");
  if (made.opened_mm > 0) {
    text += with_number(", the lower jaw opened by %.1f mm at the incisors", made.opened_mm) +
            with_number(" (%.2f degrees about ", made.opened_deg) + made.axis + ")";
  }
  text += ".\n";
  if (!std::isfinite(made.nearest.gap_mm)) return text;
  const bool overlap = made.nearest.gap_mm < 0;
  return text + (overlap ? "The teeth pass through each other by " : "The teeth come as near as ") +
         with_number("%.2f mm ", std::abs(made.nearest.gap_mm)) + tooth_words(points, made.nearest.at) + ".\n";
}

}  // namespace

std::string splint_place(const Case& c, const CaseSplint& made, const Vec3& at) {
  return tooth_words(points_at(c, made.poses), at);
}

std::string splint_overlap_words(const Case& c, const CaseSplint& made) {
  if (!(made.nearest.gap_mm < -kScanError)) return {};
  return "the teeth pass through each other by " + with_number("%.2f mm ", -made.nearest.gap_mm) +
         splint_place(c, made, made.nearest.at) +
         " in this plan: the jaws cannot reach it unless that is ground away or the bite is opened";
}

std::vector<std::string> splint_warnings(const Case& c, const CaseSplint& made) {
  const PointMap points = points_at(c, made.poses);
  std::vector<std::string> said;
  if (const std::string overlap = splint_overlap_words(c, made); !overlap.empty()) said.push_back(overlap);
  if (!made.splint.thin.empty()) {
    const ThinPlace& place = made.splint.thin[0];
    said.push_back("thinner than " + with_number("%.1f mm in ", made.order.settings.least_thickness_mm) +
                   std::to_string(made.splint.thin.size()) + " places, least " +
                   with_number("%.2f mm ", place.thickness_mm) + tooth_words(points, place.at));
  }
  for (const auto& [name, seat] :
       {std::pair<const char*, const SplintSeat*>{"upper", &made.splint.upper}, {"lower", &made.splint.lower}}) {
    if (seat->checked && !seat->seats) {
      said.push_back(std::string("the ") + name + " arch does not seat: it touches " +
                     with_number("%.2f mm before its place ", seat->stopped_mm) + tooth_words(points, seat->touch));
    }
  }
  return said;
}

std::vector<std::string> splint_labels(const Case& c, const Plan& plan, Moment stage, const std::string& digest) {
  const bool first = stage == Moment::intermediate;
  const std::string mark = for_raising(digest, 8), name = for_raising(plan.name, 8);
  const std::string whole = first ? " INTERMEDIATE " : " FINAL ", brief = first ? " INTERM " : " FINAL ";
  return {for_raising(c.id, 16) + " " + name + whole + mark, for_raising(c.id, 8) + " " + name + brief + mark,
          name + brief + mark.substr(0, 6)};
}

json splint_report(const Case& c, const Plan& plan, const CaseSplint& made) {
  const PointMap points = points_at(c, made.poses);
  json thin = json::array();
  for (const ThinPlace& place : made.splint.thin) {
    thin.push_back({{"thickness_mm", place.thickness_mm},
                    {"area_mm2", place.area_mm2},
                    {"at", point_json(place.at)},
                    {"lies", side_words(place.side)},
                    {"where", tooth_words(points, place.at)}});
  }
  json teeth = nullptr;
  if (made.nearest.upper_tooth && made.nearest.lower_tooth) {
    teeth = {std::to_string(made.nearest.upper_tooth), std::to_string(made.nearest.lower_tooth)};
  }
  json fins = {{"places", made.splint.fins.places}};
  if (made.splint.fins.places > 0) {
    const ThinPlace& ridge = made.splint.fins.thinnest;
    fins.update(
        {{"least_mm", ridge.thickness_mm}, {"at", point_json(ridge.at)}, {"where", tooth_words(points, ridge.at)}});
  }
  json mended = json::array();
  for (const SplintChange& change : made.mended)
    mended.push_back({{"what", change.key}, {"from_mm", change.from_mm}, {"to_mm", change.to_mm}});
  json raised = nullptr;
  if (!made.splint.text.empty()) {
    raised = {{"words", made.splint.text},
              {"letter_mm", made.splint.letter_mm + SplintText::kStroke},
              {"stroke_mm", SplintText::kStroke},
              {"proud_mm", SplintText::kProud}};
  }
  return {{"case", c.id},
          {"plan", plan.name},
          {"raised_text", raised},
          {"stage", stage_word(made)},
          {"digest", made.digest},
          {"opening", {{"incisors_mm", made.opened_mm}, {"deg", made.opened_deg}, {"about", made.axis}}},
          {"arches",
           {{"gap_mm", finite_or_null(made.nearest.gap_mm)}, {"at", point_json(made.nearest.at)}, {"teeth", teeth}}},
          {"triangles", made.splint.mesh.triangles.size()},
          {"volume_mm3", made.splint.volume_mm3},
          {"least_thickness_mm", made.splint.least_thickness_mm},
          {"thin", thin},
          {"fins", fins},
          {"left_open", made.splint.left_open},
          {"mended", mended},
          {"upper", seat_json(made.splint.upper, points, path_choice(made.order.settings, true))},
          {"lower", seat_json(made.splint.lower, points, path_choice(made.order.settings, false))},
          {"warnings", splint_warnings(c, made)}};
}

std::string splint_note(const Case& c, const Plan& plan, const CaseSplint& made, const std::string& checked_by) {
  const PointMap points = points_at(c, made.poses);
  std::string text = "Splint, " + stage_word(made) + "\n\ncase        " + c.id + "\nplan        " + plan.name +
                     "\ndigest      " + made.digest +
                     "\nchecked by: " + (checked_by.empty() ? "nobody yet; not for use on a patient" : checked_by) +
                     "\n\n";
  text += relation_words(c, made);
  text += "Made with: " + settings_words(made.order) + ".\n";
  text += text_words(made);
  text += with_number("Volume %.0f mm3", made.splint.volume_mm3) +
          "; the file is in millimetres, in the patient frame (x to "
          "the patient's left, y backwards, z up).\n\nFit, by calculation\n";
  text += seat_words(points, "Upper", made.splint.upper, path_choice(made.order.settings, true));
  text += seat_words(points, "Lower", made.splint.lower, path_choice(made.order.settings, false));
  for (const ThinPlace& place : made.splint.thin) {
    text += with_number("Thin: %.2f mm ", place.thickness_mm) + tooth_words(points, place.at) + ", " +
            side_words(place.side) + ".\n";
  }
  if (!made.mended.empty()) text += "Mended: " + changes_words(made.mended) + ".\n";
  text += fins_words(points, made) + left_open_words(made.splint.left_open);
  const std::vector<std::string> warnings = splint_warnings(c, made);
  for (const std::string& warning : warnings) text += "WARNING: " + warning + ".\n";
  text +=
      "\nCautions\nA planning and teaching aid, not cleared as a medical device. Whoever uses the splint on a patient "
      "answers for it.\nVerify the fit on printed models of both arches before use: a print shrinks and warps, a scan "
      "has "
      "faults.\nMaterial, printing, cleaning and sterilisation go by the maker's instructions and local "
      "rules.\nLicensed "
      "practice and local rules decide.\n";
  return text;
}

}  // namespace intercusp
