// The Class III sample with bone, and plans for it.
#pragma once

#include <doctest/doctest.h>

#include "casebook/cut_case.h"
#include "casebook/recipe_link.h"

namespace intercusp::test {

/// The Class III sample with bone, made once: its jaws take a second.
inline const Case& sample_with_bone() {
  static const Case sample = [] {
    auto made = case_from_sample("class3", std::nullopt, 20000, true);
    REQUIRE(made.ok());
    Case c = std::move(made).value();
    c.plans.push_back({});
    c.plans.back().name = "A";
    return c;
  }();
  return sample;
}

inline Osteotomy cut_of(CutKind kind, const std::map<std::string, double>& settings = {}) {
  auto cut = make_osteotomy(kind, settings);
  REQUIRE(cut.ok());
  return cut.value();
}

inline PlanEntry moved(const std::string& segment, const Movement& movement, const std::string& about = "") {
  PlanEntry entry;
  entry.segment = segment;
  entry.movement = movement;
  entry.about = about;
  return entry;
}

/// The sample with these cuts in its plan.
inline Case planned(const std::vector<PlanEntry>& entries) {
  Case c = sample_with_bone();
  c.plans[0].entries = entries;
  return c;
}

inline Case made(const Case& c) {
  auto cut = with_cuts(c, &c.plans[0]);
  REQUIRE_MESSAGE(cut.ok(), (cut.ok() ? "" : cut.error().sentence()));
  return cut.value();
}

}  // namespace intercusp::test
