#include "casebook/digest.h"

#include <cmath>

#include <nlohmann/json.hpp>

#include "base/sha256.h"
#include "casebook/case_json.h"

namespace intercusp {

using nlohmann::json;

namespace {

/// A number as whole millionths, so that its text is the same everywhere and never "-0".
long long millionths(double value) {
  return std::llround(value * 1e6);
}

json rounded(const json& value) {
  if (value.is_number_float()) return millionths(value.get<double>());
  if (value.is_object()) {
    json out = json::object();
    for (const auto& [key, inner] : value.items()) out[key] = rounded(inner);
    return out;
  }
  if (value.is_array()) {
    json out = json::array();
    for (const json& inner : value) out.push_back(rounded(inner));
    return out;
  }
  return value;
}

/// What the plan rests on. Bodies made from a recipe are named by the recipe: their vertices are computed, and the last
/// bit of a computed vertex may differ between platforms.
json basis(const Case& c) {
  json out = json::object();
  if (c.recipe.empty()) {
    for (const Body& body : c.bodies) out["meshes"][body.name] = body.mesh_sha256;
  } else {
    out["recipe"] = json::parse(c.recipe, nullptr, false);
  }
  if (c.recipe.empty() || c.landmarks_edited) {
    out["landmarks"] = json::object();
    for (const auto& [name, landmark] : c.landmarks) {
      out["landmarks"][name] = {landmark.at.x(), landmark.at.y(), landmark.at.z()};
    }
  }
  return out;
}

}  // namespace

std::string canonical_plan(const Case& c, const Plan& plan) {
  json document = basis(c);
  document["plan"] = plans_to_json({plan})[0];
  document["plan"].erase("name");  // renaming a plan changes nothing that was agreed to
  return rounded(document).dump();
}

std::string plan_digest(const Case& c, const Plan& plan) {
  const std::string text = canonical_plan(c, plan);
  return sha256_hex(text.data(), text.size());
}

}  // namespace intercusp
