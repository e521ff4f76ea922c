// The values after a PLY header, one by one, whatever their encoding.
#pragma once

#include <string>

#include "formats/ply_header.h"
#include "formats/text_cursor.h"

namespace intercusp {

enum class ReadStatus { read, at_end, no_number };

/// Values of either byte order. Every PLY type fits into a double exactly.
class PlyBinaryValues {
 public:
  PlyBinaryValues(const std::uint8_t* bytes, std::size_t size, const PlyHeader& header);

  ReadStatus read(PlyType type, double& value);
  ReadStatus skip(PlyType type, std::uint64_t count);
  /// Bytes that `count` more values take at the least; `left()` is what there is.
  static std::uint64_t least_bytes(PlyType type) { return ply_size(type); }
  std::size_t left() const { return static_cast<std::size_t>(end_ - at_); }
  Error error(const std::string& display_name, std::string what) const;

 private:
  const std::uint8_t* begin_;
  const std::uint8_t* at_;
  const std::uint8_t* end_;
  bool big_endian_;
};

/// Values written as words.
class PlyTextValues {
 public:
  PlyTextValues(const std::uint8_t* bytes, std::size_t size, const PlyHeader& header);

  /// nan and inf come back as such.
  ReadStatus read(PlyType type, double& value);
  ReadStatus skip(PlyType type, std::uint64_t count);
  static std::uint64_t least_bytes(PlyType) { return 2; }  ///< a digit and a gap
  std::size_t left() const { return text_.left() + 1; }    ///< the last word needs no gap
  Error error(const std::string& display_name, std::string what) const;

 private:
  TextCursor text_;
  std::size_t lines_before_;
};

}  // namespace intercusp
