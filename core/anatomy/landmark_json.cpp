// The landmarks file: strict reading, exact writing.
#include <cmath>
#include <nlohmann/json.hpp>
#include <set>

#include "anatomy/landmarks.h"

namespace intercusp {

namespace {

using nlohmann::json;

/// Finds where malformed JSON goes wrong without exceptions.
struct SyntaxCheck : nlohmann::json_sax<json> {
  std::size_t at = 0;
  bool null() override { return true; }
  bool boolean(bool) override { return true; }
  bool number_integer(number_integer_t) override { return true; }
  bool number_unsigned(number_unsigned_t) override { return true; }
  bool number_float(number_float_t, const string_t&) override { return true; }
  bool string(string_t&) override { return true; }
  bool binary(binary_t&) override { return true; }
  bool start_object(std::size_t) override { return true; }
  bool key(string_t&) override { return true; }
  bool end_object() override { return true; }
  bool start_array(std::size_t) override { return true; }
  bool end_array() override { return true; }
  bool parse_error(std::size_t position, const std::string&, const nlohmann::detail::exception&) override {
    at = position;
    return false;
  }
};

std::optional<double> millimetres_per(const std::string& unit) {
  if (unit == "mm") return 1.0;
  if (unit == "cm") return 10.0;
  if (unit == "m") return 1000.0;
  if (unit == "inch") return 25.4;
  return std::nullopt;
}

/// Parses and also names the first key that occurs twice in the same object.
json parse_watching_keys(const std::string& text, std::string& duplicate) {
  std::vector<std::set<std::string>> seen;
  const auto watch = [&](int, json::parse_event_t event, json& parsed) {
    if (event == json::parse_event_t::object_start) seen.emplace_back();
    if (event == json::parse_event_t::object_end && !seen.empty()) seen.pop_back();
    if (event == json::parse_event_t::key && !seen.empty()) {
      const std::string key = parsed.get<std::string>();
      if (!seen.back().insert(key).second && duplicate.empty()) duplicate = key;
    }
    return true;
  };
  return json::parse(text, watch, false);
}

Error landmark_error(const std::string& what, const std::string& name, const std::string& remedy) {
  return Error{what, "landmarks, \"" + name + "\"", remedy};
}

Result<Landmark> read_point(const std::string& name, const json& value, double scale) {
  const std::string remedy = "write it as [x, y, z]";
  if (!value.is_array() || value.size() != 3) return landmark_error("the position is not three numbers", name, remedy);
  Landmark landmark;
  landmark.origin = Landmark::Origin::file;
  for (std::size_t i = 0; i < 3; ++i) {
    if (!value[i].is_number())
      return landmark_error("coordinate " + std::to_string(i + 1) + " is not a number", name, remedy);
    const double mm = value[i].get<double>() * scale;
    if (!std::isfinite(mm))
      return landmark_error("coordinate " + std::to_string(i + 1) + " is not finite", name, "check the number");
    landmark.at[static_cast<Eigen::Index>(i)] = mm;
  }
  return landmark;
}

Result<double> read_scale(const json& root) {
  const auto units = root.find("units");
  if (units == root.end()) return Error{"the units are missing", "landmarks", "add \"units\": \"mm\" (or cm, m, inch)"};
  if (!units->is_string()) return Error{"the units are not a word", "landmarks, \"units\"", "use mm, cm, m or inch"};
  const std::string unit = units->get<std::string>();
  const auto scale = millimetres_per(unit);
  if (!scale) return Error{"the unit \"" + unit + "\" is not known", "landmarks, \"units\"", "use mm, cm, m or inch"};
  return *scale;
}

Result<json> read_root(const std::string& text) {
  std::string duplicate;
  json root = parse_watching_keys(text, duplicate);
  if (root.is_discarded()) {
    SyntaxCheck check;
    (void)json::sax_parse(text, &check);
    return Error{"the text is not valid JSON", "landmarks, byte " + std::to_string(check.at),
                 "numbers must be plain decimals (not NaN), names in double quotes"};
  }
  if (!duplicate.empty()) return landmark_error("the name occurs twice", duplicate, "keep one of the two");
  if (!root.is_object())
    return Error{"the file does not hold a landmarks object", "landmarks", R"(write {"units":"mm","landmarks":{...}})"};
  return root;
}

}  // namespace

bool operator==(const Landmark& a, const Landmark& b) {
  return a.at == b.at && a.confirmed == b.confirmed && a.origin == b.origin && a.confidence == b.confidence;
}

const char* origin_name(Landmark::Origin origin) {
  switch (origin) {
    case Landmark::Origin::placed:
      return "placed";
    case Landmark::Origin::proposed:
      return "proposed";
    case Landmark::Origin::file:
      return "file";
    case Landmark::Origin::unknown:
      return "";
  }
  return "";
}

Landmark::Origin origin_of(const std::string& name) {
  for (const auto origin : {Landmark::Origin::placed, Landmark::Origin::proposed, Landmark::Origin::file})
    if (name == origin_name(origin)) return origin;
  return Landmark::Origin::unknown;
}

Result<LandmarkSet> parse_landmarks(const std::string& json_text) {
  const auto root = read_root(json_text);
  if (!root) return root.error();
  const auto scale = read_scale(root.value());
  if (!scale) return scale.error();
  const auto points = root.value().find("landmarks");
  if (points == root.value().end() || !points->is_object())
    return Error{"the landmarks are missing", "landmarks",
                 R"(add "landmarks": {"11.incisal_edge_mid": [x, y, z], ...})"};
  LandmarkSet set;
  for (const auto& [name, value] : points->items()) {
    if (!known_landmark(name))
      return landmark_error("the name is not a known landmark", name, "see docs/methods.md for the list of names");
    auto point = read_point(name, value, scale.value());
    if (!point) return point.error();
    set[name] = point.value();
  }
  return set;
}

std::string write_landmarks(const PointMap& points) {
  nlohmann::ordered_json list = nlohmann::ordered_json::object();
  for (const auto& [name, p] : points) list[name] = {p.x(), p.y(), p.z()};
  nlohmann::ordered_json root;
  root["units"] = "mm";
  root["landmarks"] = std::move(list);
  return root.dump(2) + "\n";
}

}  // namespace intercusp
