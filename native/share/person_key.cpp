#include "share/person_key.h"

#include <filesystem>

#include <fcntl.h>
#include <sys/file.h>

#include "review/crypto.h"
#include "share/secret_file.h"
#include "window/folders.h"

namespace intercusp::share {
namespace {

namespace fs = std::filesystem;

/// A secret of the size of a key.
Result<std::string> read_key(const fs::path& path) {
  auto bytes = read_secret(path);
  if (bytes && bytes.value().size() != secrets::kKeyBytes)
    return Error{"this file holds no key", path.string(), "move it away; a new one is made"};
  return bytes;
}

fs::path owned_path(const std::string& folder) {
  return fs::path(settings_folder()) / "shared" / folder;
}

}  // namespace

Result<std::string> person_seed() {
  const fs::path path = fs::path(settings_folder()) / "person.key";
  std::error_code failed;
  if (fs::exists(path, failed)) return read_key(path);
  Result<std::string> seed = secrets::random_bytes(secrets::kKeyBytes);
  if (!seed) return seed;
  const Status written = write_secret(path, seed.value());
  if (!written) return written.error();
  return seed;
}

Result<std::string> person_seed_of_this_window() {
  static const int lock = [] {
    std::error_code failed;
    fs::create_directories(settings_folder(), failed);
    const int file = ::open((fs::path(settings_folder()) / "person.lock").c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
    return file >= 0 && ::flock(file, LOCK_EX | LOCK_NB) == 0 ? file : -1;
  }();
  return lock >= 0 ? person_seed() : secrets::random_bytes(secrets::kKeyBytes);
}

void forget_owner_secret(const std::string& folder) {
  std::error_code failed;
  fs::remove(owned_path(folder), failed);
}

Status keep_owner_secret(const std::string& folder, const std::string& secret) {
  return write_secret(owned_path(folder), secret);
}

Result<std::string> owner_secret(const std::string& folder) {
  const fs::path path = owned_path(folder);
  std::error_code failed;
  if (!fs::exists(path, failed)) {
    return Error{"this case was not shared from here", path.string(), "only who shared it can withdraw it"};
  }
  return read_key(path);
}

}  // namespace intercusp::share
