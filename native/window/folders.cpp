#include "window/folders.h"

#include <cstdlib>
#include <filesystem>

namespace intercusp {
namespace {

namespace fs = std::filesystem;

fs::path home() {
  const char* named = std::getenv("HOME");
  return named && *named ? fs::path(named) : fs::current_path();
}

/// The specification lets relative paths in these variables count as unset.
fs::path base_folder(const char* variable, const char* below_home) {
  const char* named = std::getenv(variable);
  return named && *named == '/' ? fs::path(named) : home() / below_home;
}

}  // namespace

std::string settings_folder() {
  return (base_folder("XDG_CONFIG_HOME", ".config") / "intercusp").string();
}

std::string work_folder() {
  return (base_folder("XDG_STATE_HOME", ".local/state") / "intercusp" / "work").string();
}

std::string files_folder() {
  return (home() / "Intercusp").string();
}

std::string safe_file_name(const std::string& text) {
  std::string name;
  for (const char c : text) {
    const bool refused = static_cast<unsigned char>(c) < 32 || c == '/' || c == '\\' || c == ':' || c == 127;
    name += refused ? '_' : c;
  }
  while (!name.empty() && name.front() == '.') name.erase(0, 1);
  if (name.size() > 120) name.resize(120);
  return name.empty() ? "case" : name;
}

}  // namespace intercusp
