#include "window/kept_work.h"

#include <algorithm>
#include <filesystem>

#include <nlohmann/json.hpp>

#include "casebook/case_file.h"
#include "window/folders.h"

namespace intercusp {
namespace {

namespace fs = std::filesystem;

std::vector<std::uint8_t> bytes_of(const std::string& text) {
  return {text.begin(), text.end()};
}

Status make_folder(const std::string& folder) {
  std::error_code failed;
  fs::create_directories(folder, failed);
  if (failed) return Error{"the folder cannot be made: " + failed.message(), folder, "check its permissions"};
  return Done{};
}

std::string read_text(const fs::path& path) {
  const Result<std::vector<std::uint8_t>> bytes = read_file(path.string());
  return bytes ? std::string(bytes.value().begin(), bytes.value().end()) : std::string();
}

}  // namespace

Status WorkKeeper::keep(const std::string& case_id, const std::vector<std::uint8_t>& case_bytes,
                        const std::string& view_json) const {
  const fs::path folder(folder_);
  const std::string name = safe_file_name(case_id);
  if (case_bytes.empty()) {
    std::error_code ignored;
    for (const char* ending : {".glb", ".view.json"}) fs::remove(folder / (name + ending), ignored);
    return Done{};
  }
  const Status made = make_folder(folder_);
  if (!made) return made;
  const Status kept = save_atomically((folder / (name + ".glb")).string(), case_bytes, true);
  if (!kept) return kept;
  const Status view = save_atomically((folder / (name + ".view.json")).string(), bytes_of(view_json), true);
  if (!view) return view;
  return save_atomically((folder / "latest").string(), bytes_of(name), true);
}

std::optional<KeptWork> WorkKeeper::latest() const {
  const std::string name = read_text(fs::path(folder_) / "latest");
  if (name.empty() || name != safe_file_name(name)) return std::nullopt;
  Result<std::vector<std::uint8_t>> bytes = read_file((fs::path(folder_) / (name + ".glb")).string());
  if (!bytes) return std::nullopt;
  return KeptWork{std::move(bytes).value(), read_text(fs::path(folder_) / (name + ".view.json"))};
}

Settings::Settings(std::string folder) : folder_(std::move(folder)) {
  const nlohmann::json stored = nlohmann::json::parse(read_text(fs::path(folder_) / "settings.json"), nullptr, false);
  if (!stored.is_object()) return;
  for (const auto& [key, value] : stored.items()) {
    if (value.is_string()) values_.emplace_back(key, value.get<std::string>());
  }
}

std::string Settings::get(const std::string& key) const {
  for (const auto& [name, value] : values_) {
    if (name == key) return value;
  }
  return {};
}

Status Settings::set(const std::string& key, const std::string& value) {
  const auto same = [&](const auto& entry) { return entry.first == key; };
  const auto found = std::find_if(values_.begin(), values_.end(), same);
  if (found == values_.end()) {
    values_.emplace_back(key, value);
  } else {
    found->second = value;
  }
  const Status made = make_folder(folder_);
  if (!made) return made;
  nlohmann::json all = nlohmann::json::object();
  for (const auto& [name, kept] : values_) all[name] = kept;
  const std::string text = all.dump(2, ' ', false, nlohmann::json::error_handler_t::replace);
  return save_atomically((fs::path(folder_) / "settings.json").string(), bytes_of(text), true);
}

}  // namespace intercusp
