#include <cmath>
#include <cstdio>
#include <optional>

#include <nlohmann/json.hpp>

#include "casebook/case_file.h"
#include "casebook/cut_case.h"
#include "casebook/settle_plan.h"
#include "cli/case_access.h"
#include "cli/commands.h"
#include "cli/limits.h"
#include "surgery/movement_note.h"

namespace intercusp::cli {

using nlohmann::json;

namespace {

struct SettleOptions {
  std::string path, out, plan, moving, molar = "I", canine = "I", format = "text";
  std::string overjet, overbite, molar_expansion, canine_expansion;
  std::vector<std::string> pins;
  std::optional<int> pieces;
  PieceLimits limits;
  std::size_t solution = 1;
  bool force = false;
};

int quarters_of(const std::string& relation) {
  return relation == "II" ? 4 : relation == "III" ? -4 : 0;
}

/// ID:VALUE.
Status read_pin(const std::string& text, SettleSettings& settings) {
  const std::size_t colon = text.find(':');
  const auto value = colon == std::string::npos ? std::nullopt : whole_number(text.substr(colon + 1));
  if (!value) return Error{"\"" + text + "\" is not a pin", "--pin", "write ID:VALUE, for example overjet:2.5"};
  settings.pinned[text.substr(0, colon)] = *value;
  return Done{};
}

/// Limits of a measure, or of what it changes by.
Status read_limits(const std::string& option, const std::string& measure, const std::string& range,
                   std::array<double, 2>& limits) {
  if (range.empty()) return Done{};
  const auto limit = parse_limit(measure + ":" + range);
  if (!limit.ok()) {
    return Error{"\"" + range + "\" is not a range", "--" + option, "write MIN..MAX, for example 1..3"};
  }
  limits = {limit.value().least, limit.value().most};
  return Done{};
}

Result<SettleSettings> settings_of(const SettleOptions& options, const Case& c) {
  SettleSettings settings;
  settings.contact = c.contact_settings;
  settings.molar_quarters = quarters_of(options.molar);
  settings.canine_quarters = quarters_of(options.canine);
  for (const std::string& pin : options.pins) {
    if (const Status read = read_pin(pin, settings); !read.ok()) return read.error();
  }
  settings.pieces = options.limits;
  struct Range {
    const char *option, *measure;
    const std::string& text;
    std::array<double, 2>& limits;
  };
  for (const Range& range : {
           Range{"overjet", "overjet", options.overjet, settings.overjet_mm},
           Range{"overbite", "overbite", options.overbite, settings.overbite_mm},
           Range{"molar-expansion", "intermolar_upper", options.molar_expansion, settings.pieces.molar_expansion_mm},
           Range{"canine-expansion", "intercanine_upper", options.canine_expansion,
                 settings.pieces.canine_expansion_mm},
       }) {
    const Status read = read_limits(range.option, range.measure, range.text, range.limits);
    if (!read.ok()) return read.error();
  }
  return settings;
}

/// What moves: as asked, and whether in pieces, which the plan's cuts must allow. Without a word about pieces an upper
/// jaw moves in those that the plan leaves.
Result<SettleMoving> moving_of(const SettleOptions& options, const Case& in_pieces) {
  const std::size_t there = upper_pieces(in_pieces).size();
  const std::string asked = options.pieces ? "--pieces " + std::to_string(*options.pieces) : "";
  const bool wanted = options.pieces.value_or(1) > 1;
  if (wanted && options.moving == "lower") {
    return Error{"the lower jaw moves as one", asked, "move the upper jaw (--moving upper)"};
  }
  if (wanted && there == 0) {
    return Error{"the upper jaw is in one piece in plan " + options.plan, asked,
                 "cut the upper jaw first: intercusp cut CASE --plan " + options.plan + " --kind pieces " + asked +
                     " -o CASE (with bone, a Le Fort I before it)"};
  }
  if (wanted && there != static_cast<std::size_t>(*options.pieces)) {
    return Error{"plan " + options.plan + " leaves the upper jaw in " + std::to_string(there) + " pieces", asked,
                 "say --pieces " + std::to_string(there) + ", or cut it otherwise (intercusp cut --kind pieces)"};
  }
  const std::string jaw = options.moving.empty() ? (wanted ? "upper" : "lower") : options.moving;
  return SettleMoving{segment_with_teeth(in_pieces, jaw),
                      jaw == "upper" && there > 0 && options.pieces.value_or(2) > 1};
}

std::string reading_words(const SettleSolution& s, const char* id) {
  const auto found = s.reading.find(id);
  if (found == s.reading.end()) return "not measurable";
  MeasureValue value;
  value.value = found->second;
  if (s.quarters.count(id) > 0) {
    value.quarters = s.quarters.at(id);
    value.relation = *value.quarters > 0 ? "II" : *value.quarters < 0 ? "III" : "I";
  }
  return in_words(*find_measure(id), value);
}

/// Lines of an upper jaw in pieces: what each does against the jaw as a whole, and what becomes of the row of teeth.
void print_pieces(const SettleOffer& offer) {
  const SettleSolution& s = offer.solution;
  for (std::size_t i = 0; i < s.pieces.size(); ++i) {
    std::printf("   %-14s %s; %d contacts\n", body_words(s.pieces[i].name).c_str(),
                movement_words(offer.entries[i + 1].movement).c_str(), s.pieces[i].contacts);
  }
  const auto expansion = [](const std::optional<double>& mm) {
    if (!mm) return std::string("not measurable");
    char text[48];
    std::snprintf(text, sizeof text, "%.2f mm %s", std::abs(*mm), *mm < 0 ? "narrower" : "wider");
    return std::string(text);
  };
  std::printf("   expansion      canines %s, first molars %s\n", expansion(s.canine_expansion_mm).c_str(),
              expansion(s.molar_expansion_mm).c_str());
  for (const SeatedCut& cut : s.cuts) {
    std::printf("   cut %d|%d      %s %.2f mm, step %.2f mm\n", cut.teeth[0], cut.teeth[1],
                cut.space_mm < 0 ? "overlap" : "space", std::abs(cut.space_mm), cut.step_mm);
  }
}

void print_against(const SettleCost& cost, bool in_pieces) {
  std::printf(
      "   against it     %.2f: seat %.2f, overlap %.2f, sides %.0f, relation %.2f, midlines %.2f, overjet %.2f, "
      "overbite %.2f",
      cost.total(), cost.seat, cost.overlap, cost.sides, cost.relation, cost.midline, cost.overjet, cost.overbite);
  if (in_pieces)
    std::printf(", expansion %.2f, steps %.2f, neighbours %.2f, apart %.2f", cost.expansion, cost.steps,
                cost.neighbours, cost.apart);
  std::printf("\n\n");
}

void print_solution(const SettleOffer& offer, std::size_t number, bool chosen) {
  const SettleSolution& s = offer.solution;
  std::printf("%zu%s  %s\n", number, chosen ? " (taken)" : "", movement_words(offer.entries.front().movement).c_str());
  if (!s.pieces.empty()) print_pieces(offer);
  std::printf("   contacts       right %d (%.2f mm2), left %d (%.2f mm2), deepest overlap %.2f mm\n", s.contacts[0],
              s.area_mm2[0], s.contacts[1], s.area_mm2[1], s.deepest_mm);
  for (const char* side : {"right", "left"}) {
    std::printf("   %-14s molar %s; canine %s\n", side,
                reading_words(s, (std::string("molar_") + side).c_str()).c_str(),
                reading_words(s, (std::string("canine_") + side).c_str()).c_str());
  }
  std::printf("   front          overjet %s, overbite %s, midlines %s\n", reading_words(s, "overjet").c_str(),
              reading_words(s, "overbite").c_str(), reading_words(s, "midline_upper_lower").c_str());
  print_against(s.cost, !s.pieces.empty());
}

void print_settle_text(const SettleOptions& options, const SettleMoving& moving,
                       const std::vector<SettleOffer>& offers) {
  const std::string pieces =
      moving.in_pieces ? " in " + std::to_string(offers.front().solution.pieces.size()) + " pieces" : "";
  std::printf("%zu position%s of the %s arch%s, best first\n\n", offers.size(), offers.size() == 1 ? "" : "s",
              is_lower_name(moving.segment) ? "lower" : "upper", pieces.c_str());
  for (std::size_t i = 0; i < offers.size(); ++i) print_solution(offers[i], i + 1, i + 1 == options.solution);
  std::printf("A planning and teaching aid, not a medical device: verify against the records.\n");
}

int run(const SettleOptions& options) {
  auto opened = open_case(options.path);
  if (!opened.ok()) return fail(opened.error());
  Case c = std::move(opened).value();
  const auto settings = settings_of(options, c);
  if (!settings.ok()) return fail(settings.error());
  const auto in_pieces = with_cuts(c, c.find_plan(options.plan));
  if (!in_pieces.ok()) return fail(in_pieces.error());
  const auto moving = moving_of(options, in_pieces.value());
  if (!moving.ok()) return fail(moving.error());
  const auto offers =
      settle_offers(in_pieces.value(), in_pieces.value().find_plan(options.plan), moving.value(), settings.value());
  if (!offers.ok()) return fail(offers.error());
  if (options.solution > offers.value().size()) {
    return fail({"there is no position " + std::to_string(options.solution), "--solution",
                 "choose 1 to " + std::to_string(offers.value().size())});
  }
  if (!c.find_plan(options.plan)) c.plans.push_back({options.plan, {}, "upper"});
  for (const PlanEntry& entry : offers.value()[options.solution - 1].entries)
    c.find_plan(options.plan)->entries.push_back(entry);
  const Status saved = save_case(c, options.out, options.force);
  if (!saved.ok()) return fail(saved.error());
  if (options.format == "json") {
    const json report =
        settle_report(in_pieces.value(), options.plan, moving.value(), offers.value(), options.solution - 1);
    std::printf("%s\n", report.dump(2).c_str());
  } else {
    print_settle_text(options, moving.value(), offers.value());
  }
  return kDone;
}

}  // namespace

Run add_settle(CLI::App& app) {
  auto options = std::make_shared<SettleOptions>();
  app.add_option("case", options->path, "the case file")->required();
  app.add_option("--plan", options->plan, "the plan to append to; made if it does not exist")->required();
  app.add_option("--moving", options->moving,
                 "the arch that moves: lower (default, unless pieces are asked for) or upper")
      ->check(CLI::IsMember({"lower", "upper"}));
  app.add_option(
         "--pieces", options->pieces,
         "pieces of an upper jaw that moves: 2 or 3 as the plan's cuts leave them (default), or 1 to move them as one")
      ->check(CLI::Range(1, 3));
  app.add_option("--molar-expansion", options->molar_expansion,
                 "of pieces: limits of what 16 and 26 go apart, MIN..MAX mm (default -5..8; negative: narrower)");
  app.add_option("--canine-expansion", options->canine_expansion,
                 "of pieces: limits of what 13 and 23 go apart, MIN..MAX mm (default -3..5)");
  app.add_option("--space", options->limits.space_mm,
                 "of pieces: limit of the space opened between two teeth at a cut, mm (default 3)")
      ->check(CLI::Range(0.0, 20.0));
  app.add_option("--step", options->limits.step_mm, "of pieces: limit of the step between them, mm (default 3)")
      ->check(CLI::Range(0.0, 20.0));
  app.add_option("--turn", options->limits.turn_deg,
                 "of pieces: limit of the turn of a piece against the arch as a whole, degrees (default 8)")
      ->check(CLI::Range(0.0, 45.0));
  const auto relation = CLI::IsMember({"I", "II", "III"});
  app.add_option("--molar", options->molar, "intended molar relation: I (default), or a full unit II or III")
      ->check(relation);
  app.add_option("--canine", options->canine, "intended canine relation: I (default), II or III")->check(relation);
  app.add_option("--overjet", options->overjet, "limits of the overjet, MIN..MAX mm (default 0.5..4)");
  app.add_option("--overbite", options->overbite, "limits of the overbite, MIN..MAX mm (default 0.5..4)");
  app.add_option("--pin", options->pins, "ID:VALUE: a measure that must be met, for example overjet:2.5")
      ->expected(1, -1);
  app.add_option("--solution", options->solution, "which of the positions to take (default 1, the best)")
      ->check(CLI::Range(1, 100));
  app.add_option("--format", options->format, "text (default) or json")->check(CLI::IsMember({"text", "json"}));
  app.add_option("-o,--output", options->out, "the case file to write; may be the input with --force")->required();
  app.add_flag("--force", options->force, "overwrite what is there");
  return [options] { return run(*options); };
}

}  // namespace intercusp::cli
