#include "app/work/splint.h"

#include <nlohmann/json.hpp>

namespace intercusp {

namespace {

bool of_another_plan(const Workspace& w, const MadeSplint& made) {
  return made.answer.made.digest != w.plan_fingerprint();
}

}  // namespace

SplintAge age_of(const Workspace& w, const MadeSplint& made) {
  if (of_another_plan(w, made)) return SplintAge::other_plan;
  if (!same_order(made.asked, w.splint.order)) return SplintAge::other_settings;
  return SplintAge::current;
}

const MadeSplint* shown_splint(const Workspace& w) {
  if (w.stop != Stop::splint || w.held == Moment::rest || !w.splint.shown) return nullptr;
  const MadeSplint* made = w.splint.current();
  return made && !of_another_plan(w, *made) ? made : nullptr;
}

bool splint_asks_for_a_look(const MadeSplint& made) {
  return !made.answer.warnings.empty();
}

nlohmann::json splint_order_json(const SplintOrder& order) {
  nlohmann::json out = {{"stage", order.stage == Moment::intermediate ? "intermediate" : "final"},
                        {"opening_mm", order.opening_mm},
                        {"open_for_thickness", order.open_for_thickness},
                        {"refuse_thin", order.settings.refuse_thin},
                        {"straight", !order.settings.find_path},
                        {"raised_text", order.raise_text},
                        {"holes", order.holes}};
  const SplintSettings& s = order.settings;
  out["upper_path"] = s.upper_path_given ? nlohmann::json(s.upper_tilt_deg) : nlohmann::json(nullptr);
  out["lower_path"] = s.lower_path_given ? nlohmann::json(s.lower_tilt_deg) : nlohmann::json(nullptr);
  for (const SplintNumber& n : splint_numbers()) out[n.key] = order.settings.*n.member;
  out["relief"] = nlohmann::json::object();
  for (const auto& [tooth, mm] : order.relief) out["relief"][std::to_string(tooth)] = mm;
  return out;
}

nlohmann::json splint_json(const Workspace& w) {
  nlohmann::json out = {{"order", splint_order_json(w.splint.order)}, {"made", nullptr}, {"refusal", nullptr}};
  if (const auto& refusal = w.splint.refusal) out["refusal"] = {{"what", refusal->what}, {"remedy", refusal->remedy}};
  if (const MadeSplint* made = w.splint.current()) {
    const SplintAge age = age_of(w, *made);
    out["made"] = nlohmann::json::parse(made->answer.report, nullptr, false);
    out["quick"] = made->quick;
    out["made_for"] = age == SplintAge::current      ? "now"
                      : age == SplintAge::other_plan ? "another plan"
                                                     : "other settings";
    out["shown"] = shown_splint(w) != nullptr;
    out["thickness_shown"] = w.splint.thickness;
    out["paths_shown"] = w.splint.paths;
    out["can_undo_mend"] = w.splint.before_mend.has_value();
  }
  return out;
}

}  // namespace intercusp
