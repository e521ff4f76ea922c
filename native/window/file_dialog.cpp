#include "window/file_dialog.h"

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <sstream>

namespace intercusp {
namespace {

bool installed(const std::string& name) {
  const char* path = std::getenv("PATH");
  std::istringstream folders(path ? path : "");
  std::error_code ignored;
  for (std::string folder; std::getline(folders, folder, ':');) {
    if (std::filesystem::exists(std::filesystem::path(folder) / name, ignored)) return true;
  }
  return false;
}

/// The command holds no text from outside, so a shell may read it.
const char* dialog_command() {
  if (installed("zenity")) {
    return "zenity --file-selection --multiple --separator='\n' --title='Open scans, landmarks or a case' 2>/dev/null";
  }
  if (installed("kdialog")) return "kdialog --getopenfilename --multiple --separate-output . 2>/dev/null";
  return nullptr;
}

std::vector<std::string> chosen_by(const char* command) {
  std::vector<std::string> paths;
  FILE* pipe = popen(command, "r");
  if (!pipe) return paths;
  std::string said;
  char piece[4096];
  while (const std::size_t size = std::fread(piece, 1, sizeof piece, pipe)) said.append(piece, size);
  if (pclose(pipe) != 0) return paths;
  std::istringstream lines(said);
  for (std::string line; std::getline(lines, line);) {
    if (!line.empty()) paths.push_back(line);
  }
  return paths;
}

}  // namespace

bool FileDialog::open(void (*done)()) {
  const char* command = dialog_command();
  if (!command) return false;
  if (answer_.valid()) return true;  // one at a time
  answer_ = std::async(std::launch::async, [command, done] {
    std::vector<std::string> paths = chosen_by(command);
    done();
    return paths;
  });
  return true;
}

std::vector<std::string> FileDialog::take() {
  if (!answer_.valid() || answer_.wait_for(std::chrono::seconds(0)) != std::future_status::ready) return {};
  return answer_.get();
}

}  // namespace intercusp
