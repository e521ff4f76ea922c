#include "share/secret_file.h"

#include <cerrno>
#include <cstring>
#include <fstream>

#include <fcntl.h>
#include <unistd.h>

#include "base/base64.h"

namespace intercusp::share {

namespace fs = std::filesystem;

Result<std::string> read_secret(const fs::path& path) {
  std::ifstream in(path);
  std::string text;
  in >> text;
  const auto bytes = from_base64url(text);
  if (!bytes || bytes->empty())
    return Error{"this file holds no key", path.string(), "move it away; a new one is made"};
  return *bytes;
}

Status write_secret(const fs::path& path, const std::string& bytes) {
  std::error_code failed;
  fs::create_directories(path.parent_path(), failed);
  const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
  const std::string text = base64url(bytes) + "\n";
  const bool written =
      file >= 0 && ::write(file, text.data(), text.size()) == static_cast<ssize_t>(text.size()) && ::fsync(file) == 0;
  const int why = errno;
  if (file >= 0) ::close(file);
  if (written) return Done{};
  return Error{std::string("a key cannot be kept: ") + std::strerror(why), path.string(), "check the folder's rights"};
}

}  // namespace intercusp::share
