#include "share/sealed_copy.h"

#include <chrono>
#include <cstdlib>

#include "casebook/case_file.h"
#include "window/folders.h"

namespace intercusp::share {
namespace {

namespace fs = std::filesystem;

std::optional<std::string> content_of(const fs::path& path) {
  std::error_code failed;
  if (!fs::exists(path, failed)) return std::nullopt;
  const auto bytes = read_file(path.string());
  if (!bytes) return std::nullopt;
  return std::string(bytes.value().begin(), bytes.value().end());
}

Status keep(const fs::path& path, const std::string& bytes) {
  std::error_code failed;
  fs::create_directories(path.parent_path(), failed);
  return save_atomically(path.string(), {bytes.begin(), bytes.end()}, true);
}

std::int64_t now_ms() {
  const auto now = std::chrono::system_clock::now().time_since_epoch();
  return std::chrono::duration_cast<std::chrono::milliseconds>(now).count();
}

}  // namespace

SealedCopy::SealedCopy(const std::string& folder)
    : root_(fs::path(work_folder()).parent_path() / "shared" / safe_file_name(folder)) {}

std::optional<std::int64_t> SealedCopy::ends() const {
  const auto text = content_of(root_ / "ends");
  if (!text) return std::nullopt;
  const std::int64_t ends_ms = std::strtoll(text->c_str(), nullptr, 10);
  if (ends_ms > now_ms()) return ends_ms;
  forget();
  return std::nullopt;
}

void SealedCopy::keep_ends(std::int64_t ends_ms) const {
  (void)keep(root_ / "ends", std::to_string(ends_ms));
}

std::vector<secrets::LogFrame> SealedCopy::entries() const {
  std::vector<secrets::LogFrame> frames;
  for (std::uint64_t number = 1;; ++number) {
    const auto bytes = content_of(root_ / "entries" / std::to_string(number));
    const auto read = secrets::read_log(bytes.value_or(""));
    if (!read || read.value().size() != 1 || read.value()[0].number != number) return frames;
    frames.push_back(read.value()[0]);
  }
}

void SealedCopy::keep_entries(const std::vector<secrets::LogFrame>& frames) const {
  std::error_code failed;
  for (const secrets::LogFrame& frame : frames) {
    const fs::path path = root_ / "entries" / std::to_string(frame.number);
    if (!fs::exists(path, failed)) (void)keep(path, secrets::log_bytes(frame));  // an entry never changes
  }
}

std::optional<std::string> SealedCopy::piece(const std::string& name) const {
  return content_of(root_ / "pieces" / safe_file_name(name));
}

void SealedCopy::keep_piece(const std::string& name, const std::string& sealed) const {
  (void)keep(root_ / "pieces" / safe_file_name(name), sealed);
}

std::vector<secrets::LogFrame> SealedCopy::waiting() const {
  auto frames = secrets::read_log(content_of(root_ / "waiting").value_or(""));
  return frames ? std::move(frames).value() : std::vector<secrets::LogFrame>{};
}

Status SealedCopy::keep_waiting(const std::vector<secrets::LogFrame>& frames) const {
  std::string bytes;
  for (const secrets::LogFrame& frame : frames) bytes += secrets::log_bytes(frame);
  std::error_code failed;
  if (!bytes.empty()) return keep(root_ / "waiting", bytes);
  fs::remove(root_ / "waiting", failed);
  return Done{};
}

void SealedCopy::forget() const {
  std::error_code failed;
  fs::remove_all(root_, failed);
}

}  // namespace intercusp::share
