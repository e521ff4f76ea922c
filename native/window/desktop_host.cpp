#include "window/desktop_host.h"

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <iostream>
#include <utility>

#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>

#include <nlohmann/json.hpp>

#include "base/base64.h"
#include "casebook/case_file.h"
#include "review/crypto.h"
#include "window/folders.h"

namespace intercusp {
namespace {

namespace fs = std::filesystem;

constexpr const char* kServerSetting = "server";
constexpr const char* kDefaultServer = "http://localhost:8080/";
constexpr const char* kRecentSetting = "recent_files";  // a JSON array of paths, the newest first
constexpr std::size_t kRecentKept = 6;
constexpr std::size_t kSamplesKept = 3;  // to look from one to another and back

}  // namespace

DesktopHost::DesktopHost()
    : work_(work_folder()),
      settings_(settings_folder()),
      samples_(std::make_shared<SampleShelf>(kSamplesKept)),
      errands_([] { glfwPostEmptyEvent(); }, samples_),
      practice_keys_([] { glfwPostEmptyEvent(); }, [this] { return server_address(); }),
      reviews_([] { glfwPostEmptyEvent(); }, [this] { return server_address(); }) {}

void DesktopHost::say(const std::string& words) {
  std::cerr << words << "\n";
  if (window_) glfwSetWindowTitle(window_, ("Intercusp - " + words).c_str());
}

std::vector<std::string> DesktopHost::listed_files() const {
  const auto list = nlohmann::json::parse(settings_.get(kRecentSetting), nullptr, false);
  std::vector<std::string> paths;
  if (!list.is_array()) return paths;
  for (const nlohmann::json& path : list)
    if (path.is_string()) paths.push_back(path.get<std::string>());
  return paths;
}

void DesktopHost::remember_file(const std::string& path) {
  std::vector<std::string> paths = listed_files();
  paths.erase(std::remove(paths.begin(), paths.end(), path), paths.end());
  paths.insert(paths.begin(), path);
  if (paths.size() > kRecentKept) paths.resize(kRecentKept);
  // A name in another encoding is kept as well as it can be.
  keep_setting(kRecentSetting, nlohmann::json(paths).dump(-1, ' ', true, nlohmann::json::error_handler_t::replace));
}

std::vector<std::string> DesktopHost::recent_files() {
  std::vector<std::string> paths = listed_files();
  std::error_code ignored;
  paths.erase(std::remove_if(paths.begin(), paths.end(), [&](const auto& path) { return !fs::exists(path, ignored); }),
              paths.end());
  return paths;
}

void DesktopHost::set_case_path(const std::string& path) {
  case_path_ = path;
  remember_file(path);
}

/// The case's own file may be replaced by its newer self; anything else gets a free name.
std::string DesktopHost::target_path(const std::string& name) const {
  const fs::path folder = case_path_.empty() ? fs::path(files_folder()) : fs::path(case_path_).parent_path();
  const fs::path wanted(safe_file_name(name));
  fs::path target = folder / wanted;
  std::error_code ignored;
  for (int n = 2; fs::exists(target, ignored) && target != fs::path(case_path_); ++n) {
    target = folder / (wanted.stem().string() + " " + std::to_string(n) + wanted.extension().string());
  }
  return target.string();
}

void DesktopHost::offer_file(const std::string& name, const std::string&, const std::vector<std::uint8_t>& bytes) {
  const std::string target = target_path(name);
  std::error_code failed;
  const fs::path folder = fs::path(target).parent_path();
  if (!folder.empty()) fs::create_directories(folder, failed);
  const Status saved = save_atomically(target, bytes, target == case_path_);
  if (saved && fs::path(target).extension() == ".glb") remember_file(fs::absolute(target, failed).string());
  say(saved ? "Saved " + target : saved.error().sentence());
}

void DesktopHost::ask_for_files() {
  if (dialog_.open([] { glfwPostEmptyEvent(); })) return;
  say("Drop the files onto this window (no file dialog is installed: zenity or kdialog)");
}

void DesktopHost::set_clipboard(const std::string& text) {
  glfwSetClipboardString(window_, text.c_str());
}

void DesktopHost::use_server(const std::string& address) {
  keep_setting(kServerSetting, address);
}

std::string DesktopHost::server_address() const {
  const std::string server = settings_.get(kServerSetting);
  if (server.empty()) return kDefaultServer;
  return server.back() == '/' ? server : server + "/";
}

std::string DesktopHost::link_for(const std::string& fragment) {
  return server_address() + "#" + fragment;
}

std::string DesktopHost::take_copied_link() {
  if (!std::exchange(copied_link_wanted_, false)) return {};
  const char* text = glfwGetClipboardString(window_);
  return text ? text : "";
}

bool DesktopHost::review(const nlohmann::json& request, const std::vector<std::uint8_t>& bytes) {
  reviews_.ask(request, bytes);
  return true;
}

bool DesktopHost::practice(const nlohmann::json& request) {
  practice_keys_.ask(request);
  return true;
}

HostStamp DesktopHost::stamp() {
  const auto id = secrets::random_bytes(16);
  const auto now = std::chrono::system_clock::now().time_since_epoch();
  return {id ? base64url(id.value()) : "", std::chrono::duration_cast<std::chrono::milliseconds>(now).count()};
}

void DesktopHost::keep_work(const std::string& case_id, const std::vector<std::uint8_t>& case_bytes,
                            const std::string& view_json) {
  const Status kept = work_.keep(case_id, case_bytes, view_json);
  if (!kept) say("The work is not kept for the next start: " + kept.error().sentence());
}

void DesktopHost::keep_setting(const std::string& key, const std::string& value) {
  const Status kept = settings_.set(key, value);
  if (!kept) say("The setting is not kept: " + kept.error().sentence());
}

std::string DesktopHost::setting(const std::string& key) {
  return settings_.get(key);
}

void DesktopHost::announce(const std::string&) {
  // The panels show the same words, and the desktop's assistive technology has no way into a drawn window.
}

}  // namespace intercusp
