#include <cerrno>
#include <cstdio>
#include <cstring>
#include <memory>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "casebook/case_file.h"

namespace intercusp {

namespace {

struct Close {
  void operator()(std::FILE* file) const { std::fclose(file); }
};
using File = std::unique_ptr<std::FILE, Close>;

Error system_error(const std::string& what, const std::string& path) {
  return Error{what + " (" + std::strerror(errno) + ")", path, ""};
}

bool exists(const std::string& path) {
  struct stat info {};
  return ::stat(path.c_str(), &info) == 0;
}

std::string folder_of(const std::string& path) {
  const std::size_t slash = path.rfind('/');
  if (slash == std::string::npos) return ".";
  return slash == 0 ? "/" : path.substr(0, slash);
}

/// Makes the rename itself durable. Some file systems refuse to sync a folder; the file is then whole all the same.
void sync_folder(const std::string& path) {
  const int folder = ::open(folder_of(path).c_str(), O_RDONLY | O_DIRECTORY);
  if (folder < 0) return;
  ::fsync(folder);
  ::close(folder);
}

/// Writes everything to `beside` and flushes it to the disk; messages speak of `path`, which the person knows.
Status write_and_sync(const std::string& beside, const std::string& path, const std::vector<std::uint8_t>& bytes) {
  File file(std::fopen(beside.c_str(), "wbx"));
  if (!file) return system_error("the file cannot be written here", path);
  const bool written = bytes.empty() || std::fwrite(bytes.data(), 1, bytes.size(), file.get()) == bytes.size();
  if (!written || std::fflush(file.get()) != 0 || ::fsync(::fileno(file.get())) != 0) {
    return system_error("the file could not be written to the end; nothing was changed", path);
  }
  if (std::fclose(file.release()) != 0) return system_error("the file could not be closed; nothing was changed", path);
  return Done{};
}

Error taken(const std::string& path) {
  return Error{"there is a file of this name already", path, "choose another name, or overwrite it with --force"};
}

/// Gives the finished file its name. link() refuses to replace, so that a file which appeared meanwhile is not
/// overwritten; file systems without links get a rename.
Status put_in_place(const std::string& beside, const std::string& path, bool overwrite) {
  if (!overwrite) {
    if (::link(beside.c_str(), path.c_str()) == 0) return Done{};
    if (errno == EEXIST) return taken(path);
  }
  if (std::rename(beside.c_str(), path.c_str()) == 0) return Done{};
  return system_error("the finished file could not be put in place; nothing was changed", path);
}

}  // namespace

Status save_atomically(const std::string& path, const std::vector<std::uint8_t>& bytes, bool overwrite) {
  if (!overwrite && exists(path)) return taken(path);
  const std::string beside = path + ".part-" + std::to_string(::getpid());
  ::unlink(beside.c_str());
  const Status written = write_and_sync(beside, path, bytes);
  if (!written.ok()) {
    ::unlink(beside.c_str());
    return written;
  }
  const Status placed = put_in_place(beside, path, overwrite);
  ::unlink(beside.c_str());
  if (!placed.ok()) return placed;
  sync_folder(path);
  return Done{};
}

Result<std::vector<std::uint8_t>> read_file(const std::string& path) {
  File file(std::fopen(path.c_str(), "rb"));
  if (!file) return system_error("the file cannot be opened", path);
  struct stat info {};
  if (::fstat(::fileno(file.get()), &info) == 0 && S_ISDIR(info.st_mode))
    return Error{"this is a folder, not a file", path, ""};
  std::vector<std::uint8_t> bytes;
  if (info.st_size > 0) bytes.reserve(static_cast<std::size_t>(info.st_size));
  std::vector<std::uint8_t> piece(1 << 20);
  for (std::size_t got; (got = std::fread(piece.data(), 1, piece.size(), file.get())) > 0;) {
    bytes.insert(bytes.end(), piece.begin(), piece.begin() + static_cast<std::ptrdiff_t>(got));
  }
  if (std::ferror(file.get())) return system_error("the file cannot be read", path);
  return bytes;
}

}  // namespace intercusp
