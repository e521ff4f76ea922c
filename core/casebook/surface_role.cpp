#include "casebook/surface_role.h"

#include <algorithm>
#include <cctype>
#include <set>
#include <utility>

namespace intercusp {
namespace {

constexpr double kLongestArch = 85;  ///< mm

std::set<std::string> words_in(const std::string& text) {
  std::set<std::string> words;
  std::string word;
  for (const char c : text + " ") {
    if (std::isalpha(static_cast<unsigned char>(c))) {
      word += c;
    } else if (!word.empty()) {
      words.insert(std::exchange(word, {}));
    }
  }
  return words;
}

bool says_bone(const std::string& file) {
  const std::set<std::string> words = words_in(file);
  const auto has = [&](const char* part) { return file.find(part) != std::string::npos; };
  return has("bone") || has("skull") || has("crani") || words.count("ct") > 0 || words.count("cbct") > 0;
}

}  // namespace

const std::vector<std::string>& surface_roles() {
  static const std::vector<std::string> roles = {"upper_arch", "lower_arch",  "upper_bone",
                                                 "lower_bone", "upper_roots", "lower_roots"};
  return roles;
}

std::string likely_role(const Case& c, std::string file, double extent_mm) {
  std::transform(file.begin(), file.end(), file.begin(), [](unsigned char x) { return std::tolower(x); });
  const auto has = [&](const char* part) { return file.find(part) != std::string::npos; };
  const bool roots = has("root");
  const std::string kind = roots ? "roots" : says_bone(file) || extent_mm > kLongestArch ? "bone" : "arch";
  if (has("upper") || has("maxill") || has("skull") || has("crani")) return "upper_" + kind;
  if (has("lower") || has("mandib")) return "lower_" + kind;
  return (c.find_body("upper_" + kind) ? "lower_" : "upper_") + kind;
}

Status change_role(Case& c, const std::string& body, const std::string& role) {
  const auto named = [&](const std::string& name) {
    return std::find_if(c.bodies.begin(), c.bodies.end(), [&](const Body& b) { return b.name == name; });
  };
  const auto found = named(body), other = named(role);
  if (found == c.bodies.end()) return Error{"there is no body " + body, "", "choose one of the case"};
  const auto& roles = surface_roles();
  if (std::find(roles.begin(), roles.end(), role) == roles.end())
    return Error{"a surface cannot be \"" + role + "\"", "", "choose an arch, a jaw bone or roots"};
  if (other != c.bodies.end()) other->name = body;
  found->name = role;
  return Done{};
}

}  // namespace intercusp
