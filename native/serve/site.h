#pragma once

#include <map>
#include <string>

#include "base/result.h"

namespace intercusp {

/// One stored form of a file: as it is, or compressed.
struct SiteVariant {
  std::string bytes;
  std::string etag;  ///< quoted, strong (RFC 9110 8.8.3)
};

/// A file of the web program with its precompressed forms.
struct SiteFile {
  std::string media_type;
  bool immutable = false;                       ///< its path holds the digest of its content
  std::map<std::string, SiteVariant> variants;  ///< by content coding: "identity", "br", "gzip"
};

/// The web program in memory. Only what was in the folder at the start can ever be served, whatever path is asked for.
class Site {
 public:
  /// Reads every regular file below `folder`. Error when the folder is not a built site.
  static Result<Site> load(const std::string& folder);

  /// `path` is decoded and begins with '/'; "/" is index.html. Null when there is no such file.
  const SiteFile* find(const std::string& path) const;
  std::size_t file_count() const { return files_.size(); }

 private:
  std::map<std::string, SiteFile> files_;
};

/// The folder of the built site seen from the running program: beside it, in the build tree, or installed. Empty when
/// none.
std::string find_site();

}  // namespace intercusp
