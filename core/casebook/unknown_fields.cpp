// Kept fields are stored as {"add": {unknown members}, "in": {member: kept}, "named": {element name: kept}}, so that a
// removed landmark or plan does not come back with the fields that some other program had hung on it.
#include <nlohmann/json.hpp>

#include "casebook/case_json.h"

namespace intercusp {

using nlohmann::json;

namespace {

std::string name_of(const json& element) {
  if (!element.is_object()) return {};
  const auto name = element.find("name");
  return name != element.end() && name->is_string() ? name->get<std::string>() : std::string{};
}

json* find_named(json& array, const std::string& name) {
  for (json& element : array) {
    if (name_of(element) == name) return &element;
  }
  return nullptr;
}

}  // namespace

json unknown_fields(const json& original, const json& known) {
  json kept = json::object();
  if (original.is_object() && known.is_object()) {
    for (const auto& [key, value] : original.items()) {
      const auto written = known.find(key);
      if (written == known.end()) {
        kept["add"][key] = value;
      } else {
        json inner = unknown_fields(value, *written);
        if (!inner.empty()) kept["in"][key] = std::move(inner);
      }
    }
  } else if (original.is_array() && known.is_array()) {
    json known_copy = known;
    for (const json& element : original) {
      const std::string name = name_of(element);
      const json* written = name.empty() ? nullptr : find_named(known_copy, name);
      if (!written) continue;
      json inner = unknown_fields(element, *written);
      if (!inner.empty()) kept["named"][name] = std::move(inner);
    }
  }
  return kept;
}

void restore_unknown_fields(json& document, const json& kept) {
  if (!kept.is_object()) return;
  if (document.is_object()) {
    if (kept.contains("add")) {
      for (const auto& [key, value] : kept["add"].items()) {
        if (!document.contains(key)) document[key] = value;
      }
    }
    if (kept.contains("in")) {
      for (const auto& [key, inner] : kept["in"].items()) {
        if (document.contains(key)) restore_unknown_fields(document[key], inner);
      }
    }
  } else if (document.is_array() && kept.contains("named")) {
    for (const auto& [name, inner] : kept["named"].items()) {
      if (json* element = find_named(document, name)) restore_unknown_fields(*element, inner);
    }
  }
}

}  // namespace intercusp
