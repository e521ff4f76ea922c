// Writers for the tests of shared cases: people with made-up keys, and a case to begin with.
#pragma once

#include <cstdint>
#include <string>

#include <nlohmann/json.hpp>

#include "base/base64.h"
#include "casebook/case_json.h"
#include "casebook/digest.h"
#include "review/local_changes.h"
#include "review/shared_case.h"

namespace intercusp::test {

/// 32 bytes of one letter, as a key in b64.
inline std::string key_of(char letter) {
  return base64url(std::string(32, letter));
}

/// The n-th entry id.
inline std::string id_of(std::uint64_t n) {
  std::string bytes(16, '\0');
  for (int i = 0; i < 8; ++i) bytes[static_cast<std::size_t>(i)] = static_cast<char>(n >> (8 * i));
  return base64url(bytes);
}

inline Plan moved_plan(const std::string& name, double forward_mm) {
  Plan plan;
  plan.name = name;
  plan.entries.push_back({"upper", {forward_mm, 0, 0, 0, 0, 0}, ""});
  return plan;
}

inline Case case_to_share() {
  Case c;
  c.id = "shared";
  c.frame_known = true;
  c.landmarks["11.incisal_edge_mid"] = {Vec3(1, 2, 3), true};
  c.plans.push_back(moved_plan("A", 2));
  return c;
}

/// One person with a copy of the case.
struct Writer {
  explicit Writer(char letter, std::string name_) : author(key_of(letter)), name(std::move(name_)) {}
  std::string author, name, role = "surgeon";
  SharedCase shared{key_of('C')};

  /// Writes an entry and takes it; gives its body.
  std::string write(std::uint64_t id, nlohmann::json fields) {
    if (!fields.contains("change")) fields["change"] = key_of('C');
    const std::string body = shared.write({id_of(id), author, name, role, 1770000000000 + std::int64_t(id)}, fields);
    const auto taken = shared.take(body);
    return taken.ok() ? body : taken.error().sentence();
  }
  std::string begin(std::uint64_t id, const Case& c) {
    return write(id, {{"do", "begin"}, {"case", case_to_json(c)}, {"bodies", nlohmann::json::array()}});
  }
  /// The one change between the shared case and `mine`.
  std::string change(std::uint64_t id, const Case& mine) { return write(id, local_changes(shared, mine).at(0).fields); }
};

}  // namespace intercusp::test
