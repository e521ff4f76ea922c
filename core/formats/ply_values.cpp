#include "formats/ply_values.h"

#include <cstring>
#include <limits>

#include "formats/import_error.h"
#include "formats/number_text.h"

namespace intercusp {
namespace {

template <class T>
double as(std::uint64_t bits) {
  T value;
  if constexpr (sizeof(T) == 8) {
    std::memcpy(&value, &bits, 8);
  } else if constexpr (sizeof(T) == 4) {
    const auto narrow = static_cast<std::uint32_t>(bits);
    std::memcpy(&value, &narrow, 4);
  } else {
    value = static_cast<T>(bits);
  }
  return static_cast<double>(value);
}

double decode(PlyType type, std::uint64_t bits) {
  switch (type) {
    case PlyType::int8:
      return as<std::int8_t>(bits);
    case PlyType::uint8:
      return as<std::uint8_t>(bits);
    case PlyType::int16:
      return as<std::int16_t>(bits);
    case PlyType::uint16:
      return as<std::uint16_t>(bits);
    case PlyType::int32:
      return as<std::int32_t>(bits);
    case PlyType::uint32:
      return as<std::uint32_t>(bits);
    case PlyType::float32:
      return as<float>(bits);
    case PlyType::float64:
      return as<double>(bits);
  }
  return 0;
}

}  // namespace

PlyBinaryValues::PlyBinaryValues(const std::uint8_t* bytes, std::size_t size, const PlyHeader& header)
    : begin_(bytes),
      at_(bytes + header.data_begin),
      end_(bytes + size),
      big_endian_(header.encoding == PlyEncoding::big_endian) {}

ReadStatus PlyBinaryValues::read(PlyType type, double& value) {
  const std::size_t size = ply_size(type);
  if (left() < size) return ReadStatus::at_end;
  std::uint64_t bits = 0;
  for (std::size_t i = 0; i < size; ++i) bits |= std::uint64_t{at_[i]} << 8 * (big_endian_ ? size - 1 - i : i);
  at_ += size;
  value = decode(type, bits);
  return ReadStatus::read;
}

ReadStatus PlyBinaryValues::skip(PlyType type, std::uint64_t count) {
  if (count > left() / ply_size(type)) return ReadStatus::at_end;
  at_ += count * ply_size(type);
  return ReadStatus::read;
}

Error PlyBinaryValues::error(const std::string& display_name, std::string what) const {
  return error_at_byte(display_name, static_cast<std::size_t>(at_ - begin_), std::move(what), kExportAgain);
}

PlyTextValues::PlyTextValues(const std::uint8_t* bytes, std::size_t size, const PlyHeader& header)
    : text_(bytes + header.data_begin, size - header.data_begin), lines_before_(header.data_line - 1) {}

ReadStatus PlyTextValues::read(PlyType, double& value) {
  const std::string_view word = text_.next_word();
  if (word.empty()) return ReadStatus::at_end;
  const NumberKind kind = read_number(word, value);
  if (kind == NumberKind::no_number) return ReadStatus::no_number;
  if (kind == NumberKind::not_finite) value = std::numeric_limits<double>::quiet_NaN();
  return ReadStatus::read;
}

ReadStatus PlyTextValues::skip(PlyType, std::uint64_t count) {
  for (; count > 0; --count) {
    if (text_.next_word().empty()) return ReadStatus::at_end;
  }
  return ReadStatus::read;
}

Error PlyTextValues::error(const std::string& display_name, std::string what) const {
  return error_at_line(display_name, lines_before_ + text_.line(), std::move(what), kExportAgain);
}

}  // namespace intercusp
