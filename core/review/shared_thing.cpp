#include "review/shared_thing.h"

#include <algorithm>

namespace intercusp {

SharedThing SharedThing::begun(std::string kind, std::string name, nlohmann::json first) {
  SharedThing thing;
  thing.kind = std::move(kind);
  thing.name = std::move(name);
  thing.lines.push_back({thing.name, "", first, 0});
  thing.first = std::move(first);
  return thing;
}

void SharedThing::add(const ReviewEntry& entry, const std::string& on, nlohmann::json value) {
  auto line = std::find_if(lines.begin(), lines.end(), [&](const ThingLine& l) { return l.tip == on; });
  if (line == lines.end()) line = lines.insert(lines.end(), ThingLine{});
  ThingVersion version{entry.id,      on,          entry.author,     entry.name, entry.role,
                       entry.time_ms, entry.clock, std::move(value), 0};
  version.line = static_cast<std::size_t>(line - lines.begin());
  line->tip = version.id;
  line->value = version.value;
  line->tip_index = versions.size();
  versions.push_back(std::move(version));
}

const ThingVersion* SharedThing::find(const std::string& id) const {
  const auto found = std::find_if(versions.begin(), versions.end(), [&](const ThingVersion& v) { return v.id == id; });
  return found == versions.end() ? nullptr : &*found;
}

const nlohmann::json& SharedThing::value_of(const std::string& id) const {
  const ThingVersion* version = id.empty() ? nullptr : find(id);
  return version ? version->value : first;
}

bool SharedThing::settled(const ThingLine& line) const {
  const ThingLine& main = lines.front();
  if (line.value == main.value || line.value.is_null()) return true;
  if (main.tip.empty() || line.tip.empty()) return false;
  return versions[main.tip_index].clock > versions[line.tip_index].clock;
}

}  // namespace intercusp
