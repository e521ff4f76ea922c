#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "base/result.h"

namespace intercusp {

enum class PlyType { int8, uint8, int16, uint16, int32, uint32, float32, float64 };

/// Bytes of one value in a binary file.
std::size_t ply_size(PlyType type);

struct PlyProperty {
  std::string name;
  PlyType type = PlyType::float32;
  bool is_list = false;
  PlyType count_type = PlyType::uint8;  ///< of the length before a list's values
};

struct PlyElement {
  std::string name;
  std::uint64_t count = 0;
  std::vector<PlyProperty> properties;
};

enum class PlyEncoding { text, little_endian, big_endian };

/// What the text before the data says. Comments and obj_info are passed over.
struct PlyHeader {
  PlyEncoding encoding = PlyEncoding::text;
  std::vector<PlyElement> elements;
  std::size_t data_begin = 0;  ///< byte of the first value
  std::size_t data_line = 1;   ///< line of it, for text
};

/// Reads the header of a file that begins with `ply`. O(length of the header).
Result<PlyHeader> read_ply_header(const std::uint8_t* bytes, std::size_t size, const std::string& display_name);

}  // namespace intercusp
