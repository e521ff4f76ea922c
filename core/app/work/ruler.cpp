#include "app/work/ruler.h"

#include <cmath>

#include <nlohmann/json.hpp>

#include "app/scene/words.h"

namespace intercusp {

std::optional<RulerReading> ruler_reading(const Workspace& w) {
  if (w.rule.size() < 2) return std::nullopt;
  const Vec3 between = w.rule[1] - w.rule[0];
  const auto& frame = w.readings.start().input.frame;
  RulerReading r;
  r.mm = between.norm();
  r.forward_mm = between.dot(frame ? frame->forward : Vec3(0, -1, 0));
  r.up_mm = between.dot(frame ? frame->up : Vec3(0, 0, 1));
  r.left_mm = between.dot(frame ? frame->left : Vec3(1, 0, 0));
  return r;
}

std::string ruler_words(const RulerReading& r) {
  constexpr double kSaid = 0.05;  // mm
  std::string parts;
  const auto add = [&parts](double mm, const char* words) {
    if (std::abs(mm) >= kSaid) parts += (parts.empty() ? "" : ", ") + amount(std::abs(mm), 1) + words;
  };
  add(r.forward_mm, " front to back");
  add(r.up_mm, " in height");
  add(r.left_mm, " sideways");
  return amount(r.mm, 1) + " mm" + (parts.empty() ? "" : ": " + parts);
}

nlohmann::json ruler_json(const Workspace& w) {
  nlohmann::json j = {{"on", w.tool == Tool::rule}, {"points", nlohmann::json::array()}};
  for (const Vec3& p : w.rule) j["points"].push_back({p.x(), p.y(), p.z()});
  if (const auto r = ruler_reading(w))
    j["mm"] = r->mm, j["forward_mm"] = r->forward_mm, j["up_mm"] = r->up_mm, j["left_mm"] = r->left_mm;
  return j;
}

}  // namespace intercusp
