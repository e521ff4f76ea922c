// Reading JSON that came from outside without exceptions: every accessor checks the type first.
#pragma once

#include <cmath>
#include <optional>
#include <string>

#include <nlohmann/json.hpp>

#include "base/result.h"

namespace intercusp {

/// Parses text into JSON; the Error says at which byte it went wrong. Nesting deeper than 64 is refused.
Result<nlohmann::json> parse_json(const char* text, std::size_t size);

/// A finite number member, or nothing.
inline std::optional<double> number_at(const nlohmann::json& object, const char* key) {
  if (!object.is_object()) return std::nullopt;
  const auto found = object.find(key);
  if (found == object.end() || !found->is_number()) return std::nullopt;
  const double value = found->get<double>();
  return std::isfinite(value) ? std::optional<double>(value) : std::nullopt;
}

inline std::optional<std::string> text_at(const nlohmann::json& object, const char* key) {
  if (!object.is_object()) return std::nullopt;
  const auto found = object.find(key);
  return found == object.end() || !found->is_string() ? std::nullopt
                                                      : std::optional<std::string>(found->get<std::string>());
}

inline std::optional<bool> flag_at(const nlohmann::json& object, const char* key) {
  if (!object.is_object()) return std::nullopt;
  const auto found = object.find(key);
  return found == object.end() || !found->is_boolean() ? std::nullopt : std::optional<bool>(found->get<bool>());
}

/// A member that is an object (or array), or null.
inline const nlohmann::json* member(const nlohmann::json& object, const char* key) {
  if (!object.is_object()) return nullptr;
  const auto found = object.find(key);
  return found == object.end() ? nullptr : &*found;
}

}  // namespace intercusp
