// Checks on messages and small byte builders shared by the format tests.
#pragma once

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "formats/byte_order.h"
#include "formats/mesh_reader.h"

namespace intercusp {

using Bytes = std::vector<std::uint8_t>;

inline Bytes bytes_of(const std::string& text) {
  return {text.begin(), text.end()};
}

inline Result<ImportedMesh> import(const Bytes& bytes) {
  return read_mesh(bytes.data(), bytes.size(), "scan");
}
inline Result<ImportedMesh> import(const std::string& text) {
  return import(bytes_of(text));
}

inline bool says(const std::string& message, const std::string& part) {
  if (message.find(part) != std::string::npos) return true;
  MESSAGE("got: ", message);
  return false;
}

/// Whether reading fails with a sentence that holds `part` and names the scan.
template <class Data>
bool fails(const Data& data, const std::string& part) {
  const auto result = import(data);
  if (result.ok()) {
    MESSAGE("read without an error; expected: ", part);
    return false;
  }
  return says(result.error().sentence(), part) && says(result.error().sentence(), "scan") &&
         !result.error().remedy.empty();
}

inline void put_u32_le(Bytes& bytes, std::size_t at, std::uint32_t value) {
  for (std::size_t i = 0; i < 4; ++i) bytes[at + i] = static_cast<std::uint8_t>(value >> (8 * i));
}

}  // namespace intercusp
