#include "serve/site.h"

#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <system_error>

namespace intercusp {
namespace {

namespace fs = std::filesystem;

std::string media_type_of(const std::string& extension) {
  static const std::map<std::string, std::string> types = {{".html", "text/html; charset=utf-8"},
                                                           {".css", "text/css; charset=utf-8"},
                                                           {".js", "text/javascript; charset=utf-8"},
                                                           {".json", "application/json"},
                                                           {".webmanifest", "application/manifest+json"},
                                                           {".wasm", "application/wasm"},
                                                           {".svg", "image/svg+xml"},
                                                           {".png", "image/png"}};
  const auto found = types.find(extension);
  return found == types.end() ? "application/octet-stream" : found->second;
}

/// FNV-1a, 64 bits: tells versions of one file apart; it protects nothing.
std::string etag_of(const std::string& bytes, const std::string& coding) {
  std::uint64_t hash = 14695981039346656037ull;
  for (const unsigned char byte : bytes) hash = (hash ^ byte) * 1099511628211ull;
  char text[40];
  std::snprintf(text, sizeof text, "\"%016llx-%s\"", static_cast<unsigned long long>(hash),
                coding.substr(0, 2).c_str());
  return text;
}

Result<std::string> read_all(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::string bytes((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
  if (!in.good() && !in.eof()) return Error{"the file cannot be read", path.string(), "check its permissions"};
  return bytes;
}

/// "/x.js.br" is the br form of "/x.js".
std::pair<std::string, std::string> name_and_coding(const std::string& path) {
  for (const auto& [suffix, coding] : {std::pair<std::string, std::string>{".br", "br"}, {".gz", "gzip"}}) {
    if (path.size() > suffix.size() && path.compare(path.size() - suffix.size(), suffix.size(), suffix) == 0) {
      return {path.substr(0, path.size() - suffix.size()), coding};
    }
  }
  return {path, "identity"};
}

}  // namespace

Result<Site> Site::load(const std::string& folder) {
  std::error_code failed;
  if (!fs::is_regular_file(fs::path(folder) / "index.html", failed)) {
    return Error{"there is no web program in this folder", folder,
                 "build it (preset web) or name its folder with --site"};
  }
  Site site;
  for (fs::recursive_directory_iterator at(folder, failed), end; !failed && at != end; at.increment(failed)) {
    if (!at->is_regular_file(failed)) continue;
    const auto [name, coding] = name_and_coding("/" + fs::path(at->path()).lexically_relative(folder).generic_string());
    Result<std::string> bytes = read_all(at->path());
    if (!bytes) return bytes.error();
    SiteFile& file = site.files_[name];
    file.media_type = media_type_of(fs::path(name).extension().string());
    file.immutable = name.rfind("/assets/", 0) == 0;
    const std::string etag = etag_of(bytes.value(), coding);
    file.variants[coding] = {std::move(bytes).value(), etag};
  }
  if (failed) return Error{"the folder cannot be read: " + failed.message(), folder, "check its permissions"};
  return site;
}

const SiteFile* Site::find(const std::string& path) const {
  const auto found = files_.find(path == "/" ? "/index.html" : path);
  const bool known = found != files_.end() && found->second.variants.count("identity") > 0;
  return known ? &found->second : nullptr;
}

std::string find_site() {
  std::error_code failed;
  const fs::path here = fs::read_symlink("/proc/self/exe", failed).parent_path();
  if (failed) return {};
  for (const char* candidate : {"site", "../../web/site", "../share/intercusp/site"}) {
    if (fs::is_regular_file(here / candidate / "index.html", failed))
      return (here / candidate).lexically_normal().string();
  }
  return {};
}

}  // namespace intercusp
