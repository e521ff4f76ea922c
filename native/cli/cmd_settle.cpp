#include <cstdio>

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
  std::string path, out, plan, moving = "lower", molar = "I", canine = "I", format = "text";
  std::string overjet, overbite;
  std::vector<std::string> pins;
  int pieces = 1;
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

Status read_limits(const std::string& id, const std::string& range, std::array<double, 2>& limits) {
  if (range.empty()) return Done{};
  const auto limit = parse_limit(id + ":" + range);
  if (!limit.ok()) {
    return Error{"\"" + range + "\" is not a range", "--" + id, "write MIN..MAX, for example 1..3"};
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
  if (const Status read = read_limits("overjet", options.overjet, settings.overjet_mm); !read.ok()) return read.error();
  if (const Status read = read_limits("overbite", options.overbite, settings.overbite_mm); !read.ok()) {
    return read.error();
  }
  return settings;
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

void print_solution(const SettleOffer& offer, std::size_t number, bool chosen) {
  const SettleSolution& s = offer.solution;
  std::printf("%zu%s  %s\n", number, chosen ? " (taken)" : "", movement_words(offer.entry.movement).c_str());
  std::printf("   contacts       right %d (%.2f mm2), left %d (%.2f mm2), deepest overlap %.2f mm\n", s.contacts[0],
              s.area_mm2[0], s.contacts[1], s.area_mm2[1], s.deepest_mm);
  for (const char* side : {"right", "left"}) {
    std::printf("   %-14s molar %s; canine %s\n", side,
                reading_words(s, (std::string("molar_") + side).c_str()).c_str(),
                reading_words(s, (std::string("canine_") + side).c_str()).c_str());
  }
  std::printf("   front          overjet %s, overbite %s, midlines %s\n", reading_words(s, "overjet").c_str(),
              reading_words(s, "overbite").c_str(), reading_words(s, "midline_upper_lower").c_str());
  std::printf(
      "   against it     %.2f: seat %.2f, overlap %.2f, sides %.0f, relation %.2f, midlines %.2f, overjet %.2f, "
      "overbite %.2f\n\n",
      s.cost.total(), s.cost.seat, s.cost.overlap, s.cost.sides, s.cost.relation, s.cost.midline, s.cost.overjet,
      s.cost.overbite);
}

void print_settle_text(const SettleOptions& options, const std::vector<SettleOffer>& offers) {
  std::printf("%zu position%s of the %s arch, best first\n\n", offers.size(), offers.size() == 1 ? "" : "s",
              options.moving.c_str());
  for (std::size_t i = 0; i < offers.size(); ++i) print_solution(offers[i], i + 1, i + 1 == options.solution);
  std::printf("A planning and teaching aid, not a medical device: verify against the records.\n");
}

int run(const SettleOptions& options) {
  auto opened = open_case(options.path);
  if (!opened.ok()) return fail(opened.error());
  Case c = std::move(opened).value();
  if (options.pieces > 1) {
    return fail(
        {"the upper jaw is in one piece", "--pieces " + std::to_string(options.pieces), "cut the upper jaw first"});
  }
  const auto settings = settings_of(options, c);
  if (!settings.ok()) return fail(settings.error());
  const auto in_pieces = with_cuts(c, c.find_plan(options.plan));
  if (!in_pieces.ok()) return fail(in_pieces.error());
  const std::string segment = segment_with_teeth(in_pieces.value(), options.moving);
  const auto offers =
      settle_offers(in_pieces.value(), in_pieces.value().find_plan(options.plan), segment, settings.value());
  if (!offers.ok()) return fail(offers.error());
  if (options.solution > offers.value().size()) {
    return fail({"there is no position " + std::to_string(options.solution), "--solution",
                 "choose 1 to " + std::to_string(offers.value().size())});
  }
  if (!c.find_plan(options.plan)) c.plans.push_back({options.plan, {}, "upper"});
  c.find_plan(options.plan)->entries.push_back(offers.value()[options.solution - 1].entry);
  const Status saved = save_case(c, options.out, options.force);
  if (!saved.ok()) return fail(saved.error());
  if (options.format == "json") {
    const json report = settle_report(c, options.plan, segment, offers.value(), options.solution - 1);
    std::printf("%s\n", report.dump(2).c_str());
  } else {
    print_settle_text(options, offers.value());
  }
  return kDone;
}

}  // namespace

Run add_settle(CLI::App& app) {
  auto options = std::make_shared<SettleOptions>();
  app.add_option("case", options->path, "the case file")->required();
  app.add_option("--plan", options->plan, "the plan to append to; made if it does not exist")->required();
  app.add_option("--moving", options->moving, "the arch that moves: lower (default) or upper")
      ->check(CLI::IsMember({"lower", "upper"}));
  app.add_option("--pieces", options->pieces, "pieces of the upper jaw: 1 (default), 2 or 3")->check(CLI::Range(1, 3));
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
