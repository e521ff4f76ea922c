#include "formats/zip_writer.h"

#include <array>
#include <cstdlib>

#define STB_IMAGE_WRITE_STATIC
#define STB_IMAGE_WRITE_IMPLEMENTATION
#define STBI_WRITE_NO_STDIO
#include <stb/stb_image_write.h>

#include "formats/byte_order.h"

namespace intercusp {
namespace {

constexpr std::uint16_t kVersion = 20, kDeflated = 8;
constexpr std::uint16_t kDate = (0 << 9) | (1 << 5) | 1;  ///< 1 January 1980, the first day that ZIP knows
constexpr std::size_t kZlibHead = 2, kZlibTail = 4;       ///< around the deflated bytes
constexpr int kQuality = 8;

std::vector<std::uint8_t> deflated(const std::vector<std::uint8_t>& bytes) {
  int size = 0;
  std::uint8_t empty = 0;
  auto* from = const_cast<unsigned char*>(bytes.empty() ? &empty : bytes.data());
  unsigned char* zlib = stbi_zlib_compress(from, static_cast<int>(bytes.size()), &size, kQuality);
  std::vector<std::uint8_t> out(zlib + kZlibHead, zlib + size - kZlibTail);
  std::free(zlib);
  return out;
}

/// What the two headers of an entry share, from the version needed on.
void append_common(std::vector<std::uint8_t>& out, const ZipEntry& entry, std::size_t packed) {
  append_u16_le(out, kVersion);
  append_u16_le(out, 0);
  append_u16_le(out, kDeflated);
  append_u16_le(out, 0);
  append_u16_le(out, kDate);
  append_u32_le(out, crc32_of(entry.bytes));
  append_u32_le(out, static_cast<std::uint32_t>(packed));
  append_u32_le(out, static_cast<std::uint32_t>(entry.bytes.size()));
  append_u16_le(out, static_cast<std::uint16_t>(entry.name.size()));
  append_u16_le(out, 0);
}

void append_central(std::vector<std::uint8_t>& out, const ZipEntry& entry, std::size_t packed, std::size_t offset) {
  append_u32_le(out, 0x02014b50);
  append_u16_le(out, kVersion);
  append_common(out, entry, packed);
  for (int zero = 0; zero < 3; ++zero) append_u16_le(out, 0);  // comment, disk, internal attributes
  append_u32_le(out, 0);
  append_u32_le(out, static_cast<std::uint32_t>(offset));
  out.insert(out.end(), entry.name.begin(), entry.name.end());
}

}  // namespace

std::uint32_t crc32_of(const std::vector<std::uint8_t>& bytes) {
  std::array<std::uint32_t, 256> table{};
  for (std::uint32_t n = 0; n < 256; ++n) {
    std::uint32_t c = n;
    for (int k = 0; k < 8; ++k) c = (c & 1) != 0 ? 0xedb88320u ^ (c >> 1) : c >> 1;
    table[n] = c;
  }
  std::uint32_t crc = 0xffffffffu;
  for (const std::uint8_t byte : bytes) crc = table[(crc ^ byte) & 0xffu] ^ (crc >> 8);
  return crc ^ 0xffffffffu;
}

std::vector<std::uint8_t> write_zip(const std::vector<ZipEntry>& entries) {
  std::vector<std::uint8_t> out, central;
  for (const ZipEntry& entry : entries) {
    const std::size_t offset = out.size();
    const std::vector<std::uint8_t> packed = deflated(entry.bytes);
    append_u32_le(out, 0x04034b50);
    append_common(out, entry, packed.size());
    out.insert(out.end(), entry.name.begin(), entry.name.end());
    out.insert(out.end(), packed.begin(), packed.end());
    append_central(central, entry, packed.size(), offset);
  }
  const std::size_t start = out.size();
  out.insert(out.end(), central.begin(), central.end());
  append_u32_le(out, 0x06054b50);
  for (int zero = 0; zero < 2; ++zero) append_u16_le(out, 0);  // one disk
  for (int both = 0; both < 2; ++both) append_u16_le(out, static_cast<std::uint16_t>(entries.size()));
  append_u32_le(out, static_cast<std::uint32_t>(central.size()));
  append_u32_le(out, static_cast<std::uint32_t>(start));
  append_u16_le(out, 0);
  return out;
}

}  // namespace intercusp
