#include <cstdio>

#include "casebook/case_file.h"
#include "cli/case_access.h"
#include "cli/commands.h"

namespace intercusp::cli {

namespace {

constexpr double kMostMm = 200, kMostDeg = 180;

struct Options {
  std::string path, out, plan, segment, about;
  FixedQuantities quantities;
  std::vector<std::string> targets;
  bool force = false;
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

/// The movement that meets the targets, from where the segment stands at the end of the plan.
Result<Movement> movement_for(const Case& c, const Plan* plan, const Options& options) {
  if (options.targets.empty()) return stated_movement(options.quantities);
  auto poses = segment_poses(c, plan, Moment::planned);
  if (!poses.ok()) return poses.error();
  const PointMap points = points_at(c, poses.value());
  std::vector<MovementTarget> targets;
  for (const std::string& text : options.targets) {
    auto target = parse_target(text);
    if (!target.ok()) return target.error();
    if (points.count(target.value().landmark) == 0) {
      return Error{"the landmark " + target.value().landmark + " is not placed", "--target",
                   "place it or choose another"};
    }
    targets.push_back(target.value());
  }
  auto pivot = pivot_point(c, options.segment, options.about, poses.value());
  if (!pivot.ok()) return pivot.error();
  return solve_movement(points, pivot.value(), targets, options.quantities);
}

int run(const Options& options) {
  auto opened = open_case(options.path);
  if (!opened.ok()) return fail(opened.error());
  Case c = std::move(opened).value();
  const Status allowed = can_move(c, options.segment);
  if (!allowed.ok()) return fail(allowed.error());
  Plan* plan = c.find_plan(options.plan);
  const auto movement = movement_for(c, plan, options);
  if (!movement.ok()) return fail(movement.error());
  if (!plan) {
    c.plans.push_back({options.plan, {}, "upper"});
    plan = &c.plans.back();
  }
  plan->entries.push_back({options.segment, movement.value(), options.about});
  const auto poses = segment_poses(c, plan, Moment::planned);
  if (!poses.ok()) return fail(poses.error());
  const Status saved = save_case(c, options.out, options.force);
  return saved.ok() ? kDone : fail(saved.error());
}

void add_quantity(CLI::App& app, const char* name, std::optional<double>& value, double most, const char* about) {
  app.add_option(name, value, about)->check(CLI::Range(-most, most));
}

}  // namespace

Run add_move(CLI::App& app) {
  auto options = std::make_shared<Options>();
  FixedQuantities& q = options->quantities;
  app.add_option("case", options->path, "the case file")->required();
  app.add_option("--plan", options->plan, "the plan to append to; made if it does not exist")->required();
  app.add_option("--segment", options->segment, "what moves: upper or lower")->required();
  add_quantity(app, "--forward", q.forward_mm, kMostMm, "mm forward; negative: back");
  add_quantity(app, "--up", q.up_mm, kMostMm, "mm up; negative: down");
  add_quantity(app, "--left", q.left_mm, kMostMm, "mm to the patient's left; negative: right");
  add_quantity(app, "--pitch", q.pitch_deg, kMostDeg, "degrees; positive: the front goes up");
  add_quantity(app, "--roll", q.roll_deg, kMostDeg, "degrees; positive: the patient's left side goes down");
  add_quantity(app, "--yaw", q.yaw_deg, kMostDeg, "degrees; positive: the front goes to the patient's left");
  app.add_option("--about", options->about, "pivot landmark (default: midpoint of that arch's central incisal edges)");
  app.add_option(
         "--target", options->targets,
         "LANDMARK:forward=MM,up=MM,left=MM: what a landmark shall do; quantities that are not given are solved for")
      ->expected(1, -1);
  app.add_option("-o,--output", options->out, "the case file to write; may be the input with --force")->required();
  app.add_flag("--force", options->force, "overwrite what is there");
  return [options] { return run(*options); };
}

}  // namespace intercusp::cli
