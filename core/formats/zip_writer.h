#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace intercusp {

struct ZipEntry {
  std::string name;  ///< path inside the archive, ASCII, with /
  std::vector<std::uint8_t> bytes;
};

/// A ZIP archive (PKWARE APPNOTE 6.3, version 2.0), deflated by stb, without times, so that the same entries give the
/// same bytes. Entries below 2 GB. O(bytes).
std::vector<std::uint8_t> write_zip(const std::vector<ZipEntry>& entries);

/// CRC-32 of ISO 3309, as ZIP and PNG use it. O(n).
std::uint32_t crc32_of(const std::vector<std::uint8_t>& bytes);

}  // namespace intercusp
