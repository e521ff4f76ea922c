#include <algorithm>
#include <cstdio>

#include <nlohmann/json.hpp>

#include "casebook/case_file.h"
#include "casebook/case_json.h"
#include "cli/commands.h"
#include "cli/plan_edit.h"
#include "surgery/movement_note.h"

namespace intercusp::cli {

using nlohmann::json;

namespace {

constexpr double kMostMm = 200, kMostDeg = 180;

struct MoveOptions {
  PlanOptions plan;
  std::string segment, about, format = "text";
  FixedQuantities quantities;
  std::vector<std::string> targets;
  bool fit = false, table = false;
};

Error bad_target(const std::string& text) {
  return Error{"\"" + text + "\" is not a target", "--target",
               "write LANDMARK:forward=MM,up=MM,left=MM with one to three of them"};
}

Result<MovementTarget> parse_target(const std::string& text) {
  const std::size_t colon = text.find(':');
  if (colon == std::string::npos) return bad_target(text);
  MovementTarget target;
  target.landmark = text.substr(0, colon);
  for (std::size_t at = colon + 1; at <= text.size();) {
    const std::size_t comma = std::min(text.find(',', at), text.size());
    const std::string part = text.substr(at, comma - at);
    at = comma + 1;
    const std::size_t equals = part.find('=');
    const auto value = equals == std::string::npos ? std::nullopt : whole_number(part.substr(equals + 1));
    if (!value || std::abs(*value) > kMostMm) return bad_target(text);
    const std::string key = part.substr(0, equals);
    std::optional<double>* place = key == "forward" ? &target.forward_mm
                                   : key == "up"    ? &target.up_mm
                                   : key == "left"  ? &target.left_mm
                                                    : nullptr;
    if (!place || *place) return bad_target(text);
    *place = value;
  }
  return target;
}

Movement stated_movement(const FixedQuantities& q) {
  return {q.forward_mm.value_or(0), q.up_mm.value_or(0),    q.left_mm.value_or(0),
          q.pitch_deg.value_or(0),  q.roll_deg.value_or(0), q.yaw_deg.value_or(0)};
}

Result<std::vector<MovementTarget>> parse_targets(const std::vector<std::string>& texts, const PointMap& points) {
  std::vector<MovementTarget> targets;
  for (const std::string& text : texts) {
    auto target = parse_target(text);
    if (!target.ok()) return target.error();
    if (points.count(target.value().landmark) == 0) {
      return Error{"the landmark " + target.value().landmark + " is not placed", "--target",
                   "place it or choose another"};
    }
    targets.push_back(target.value());
  }
  return targets;
}

/// Whether a target's landmark moves with the segment; else no movement could meet it.
Status moves_along(const Case& c, const std::string& segment, const std::vector<MovementTarget>& targets) {
  const std::vector<std::string> parts = moved_with(segment);
  for (const MovementTarget& target : targets) {
    const std::string of = segment_of_landmark(c, target.landmark);
    if (std::find(parts.begin(), parts.end(), of) != parts.end()) continue;
    return Error{target.landmark + " does not move with " + segment + " but with " + of, "--target",
                 "choose a landmark of " + segment};
  }
  return Done{};
}

/// The movement that meets the targets, from where the segment stands at the end of the plan.
Result<FittedMovement> movement_for(const Case& c, const SegmentPoses& poses, const MoveOptions& options) {
  if (options.targets.empty()) return FittedMovement{stated_movement(options.quantities), {}, 0};
  const PointMap points = points_at(c, poses);
  const auto targets = parse_targets(options.targets, points);
  if (!targets.ok()) return targets.error();
  const Status along = moves_along(c, options.segment, targets.value());
  if (!along.ok()) return along.error();
  auto pivot = pivot_point(c, options.segment, options.about, poses);
  if (!pivot.ok()) return pivot.error();
  if (options.fit) return fit_movement(points, pivot.value(), targets.value(), options.quantities);
  const auto exact = solve_movement(points, pivot.value(), targets.value(), options.quantities);
  if (exact.ok()) return FittedMovement{exact.value(), {}, 0};
  Error error = exact.error();
  error.remedy += ", or take the nearest movement with --fit";
  return error;
}

json shift_rows(const Case& c, const PointMap& before, const PointMap& after) {
  json rows = json::array();
  for (const LandmarkShift& shift : landmark_shifts(before, after)) {
    rows.push_back({{"landmark", shift.landmark},
                    {"segment", segment_of_landmark(c, shift.landmark)},
                    {"forward_mm", shift.forward_mm},
                    {"up_mm", shift.up_mm},
                    {"left_mm", shift.left_mm}});
  }
  return rows;
}

std::string shift_words(double mm, const char* positive, const char* negative) {
  char text[48];
  std::snprintf(text, sizeof text, "%.2f mm %s", std::abs(mm), mm < 0 ? negative : positive);
  return std::abs(mm) < 0.005 ? "-" : text;
}

/// What every landmark does from rest to the end of the plan.
void print_table(const json& rows, const std::string& format) {
  if (format == "csv") std::printf("landmark,segment,forward_mm,up_mm,left_mm\n");
  for (const json& row : rows) {
    const std::string name = row["landmark"].get<std::string>(), segment = row["segment"].get<std::string>();
    const double forward = row["forward_mm"].get<double>(), up = row["up_mm"].get<double>(),
                 left = row["left_mm"].get<double>();
    if (format == "csv") {
      std::printf("%s,%s,%.6f,%.6f,%.6f\n", name.c_str(), segment.c_str(), forward, up, left);
    } else {
      std::printf("%-28s %-14s %-18s %-16s %s\n", name.c_str(), segment.c_str(),
                  shift_words(forward, "forward", "back").c_str(), shift_words(up, "up", "down").c_str(),
                  shift_words(left, "to the left", "to the right").c_str());
    }
  }
}

json movement_json(const FittedMovement& fitted) {
  json out = movement_to_json(fitted.movement);
  for (const TargetMiss& miss : fitted.misses) {
    out["misses"].push_back({{"landmark", miss.landmark},
                             {"direction", miss.word},
                             {"wanted_mm", miss.wanted_mm},
                             {"miss_mm", miss.miss_mm}});
  }
  if (!fitted.misses.empty()) out["rms_miss_mm"] = fitted.rms_mm;
  return out;
}

void print_result(const MoveOptions& options, const Case& c, const FittedMovement& fitted, const SegmentPoses& poses) {
  const json rows = options.table ? shift_rows(c, points_at(c, {}), points_at(c, poses)) : json();
  if (options.format == "json") {
    json out = {{"segment", options.segment}, {"movement", movement_json(fitted)}};
    if (options.table) out["landmarks"] = rows;
    std::printf("%s\n", out.dump(2).c_str());
    return;
  }
  if (options.format == "text") {
    std::printf("%s: %s\n", options.segment.c_str(), movement_words(fitted.movement).c_str());
    for (const TargetMiss& miss : fitted.misses) {
      std::printf("%-28s wanted %.2f mm %s, misses by %.3f mm\n", miss.landmark.c_str(), miss.wanted_mm,
                  miss.word.c_str(), miss.miss_mm);
    }
  }
  if (options.table) print_table(rows, options.format);
}

int run(const MoveOptions& options) {
  auto opened = open_plan(options.plan);
  if (!opened.ok()) return fail(opened.error());
  PlanEdit edit = std::move(opened).value();
  const auto cut = with_cuts(edit.c, &edit.edited());
  if (!cut.ok()) return fail(cut.error());
  const Status allowed = can_move(cut.value(), options.segment);
  if (!allowed.ok()) return fail(allowed.error());
  const auto before = segment_poses(cut.value(), &edit.edited(), Moment::planned);
  if (!before.ok()) return fail(before.error());
  const auto movement = movement_for(cut.value(), before.value(), options);
  if (!movement.ok()) return fail(movement.error());
  PlanEntry entry;
  entry.segment = options.segment;
  entry.movement = movement.value().movement;
  entry.about = options.about;
  edit.edited().entries.push_back(entry);
  const auto poses = segment_poses(cut.value(), &edit.edited(), Moment::planned);
  if (!poses.ok()) return fail(poses.error());
  const Status saved = save_case(edit.c, options.plan.out, options.plan.force);
  if (!saved.ok()) return fail(saved.error());
  print_result(options, cut.value(), movement.value(), poses.value());
  return kDone;
}

void add_quantity(CLI::App& app, const char* name, std::optional<double>& value, double most, const char* about) {
  app.add_option(name, value, about)->check(CLI::Range(-most, most));
}

}  // namespace

Run add_move(CLI::App& app) {
  auto options = std::make_shared<MoveOptions>();
  FixedQuantities& q = options->quantities;
  options->plan.add_to(app);
  app.add_option("--segment", options->segment,
                 "what moves: upper or lower; after cuts also maxilla, maxilla_right, maxilla_left, maxilla_front, "
                 "mandible, ramus_right, ramus_left, chin")
      ->required();
  add_quantity(app, "--forward", q.forward_mm, kMostMm, "mm forward; negative: back");
  add_quantity(app, "--up", q.up_mm, kMostMm, "mm up; negative: down");
  add_quantity(app, "--left", q.left_mm, kMostMm, "mm to the patient's left; negative: right");
  add_quantity(app, "--pitch", q.pitch_deg, kMostDeg, "degrees; positive: the front goes up");
  add_quantity(app, "--roll", q.roll_deg, kMostDeg, "degrees; positive: the patient's left side goes down");
  add_quantity(app, "--yaw", q.yaw_deg, kMostDeg, "degrees; positive: the front goes to the patient's left");
  app.add_option("--about", options->about,
                 "pivot landmark (default: midpoint of that arch's central incisal edges; of a ramus its condyle)");
  app.add_option(
         "--target", options->targets,
         "LANDMARK:forward=MM,up=MM,left=MM: what a landmark shall do; quantities that are not given are solved for")
      ->expected(1, -1);
  app.add_flag("--fit", options->fit,
               "meet targets that contradict each other as nearly as possible and say the misses");
  app.add_flag("--table", options->table, "say what every landmark does, from rest to the end of the plan");
  add_format(app, options->format);
  return [options] { return run(*options); };
}

}  // namespace intercusp::cli
