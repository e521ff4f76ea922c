// What the commands share: opening and saving cases, the --plan and --at options, and words for errors.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>

#include "base/result.h"
#include "casebook/case.h"
#include "casebook/reports.h"

namespace intercusp::cli {

constexpr int kDone = 0;
constexpr int kOutsideLimit = 1;
constexpr int kBad = 2;

/// Prints the error's sentence to standard error and returns kBad.
int fail(const Error& error);
/// Prints a note to standard error.
void note(const std::string& text);

Result<Case> open_case(const std::string& path);
/// Saves whole or not at all; warns when the id looks like personal data.
Status save_case(const Case& c, const std::string& path, bool force);

/// The --plan and --at options and the state of the case that they ask for.
struct MomentOptions {
  std::string plan;
  std::string at;
  void add_to(CLI::App& command);
};

struct CaseAtMoment {
  Case c;
  const Plan* plan = nullptr;
  Moment at = Moment::rest;
  SegmentPoses poses;
};

/// The plan of that name; an error that lists those there are.
Result<const Plan*> plan_named(const Case& c, const std::string& name);

/// Opens the case, makes the plan's cuts and works the poses out. `--at` is `planned` when a plan is named and `rest`
/// when none is.
Result<std::unique_ptr<CaseAtMoment>> open_at(const std::string& path, const MomentOptions& options);

/// The --format option: text (default), json or csv.
void add_format(CLI::App& command, std::string& format);

/// A number from text that must be used up whole.
std::optional<double> whole_number(const std::string& text);

}  // namespace intercusp::cli
