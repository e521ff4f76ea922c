#include "app/render/png.h"

#include <algorithm>
#include <cstring>

namespace intercusp {

namespace {

using Bytes = std::vector<std::uint8_t>;

/// Bits into bytes, lowest first (RFC 1951, 3.1.1).
class BitWriter {
 public:
  explicit BitWriter(Bytes& out) : out_(out) {}
  void put(std::uint32_t bits, int count) {
    held_ |= static_cast<std::uint64_t>(bits) << count_;
    count_ += count;
    while (count_ >= 8) {
      out_.push_back(static_cast<std::uint8_t>(held_));
      held_ >>= 8;
      count_ -= 8;
    }
  }
  // A Huffman code goes in highest bit first.
  void code(std::uint32_t code, int count) {
    std::uint32_t turned = 0;
    for (int i = 0; i < count; ++i) turned |= ((code >> i) & 1) << (count - 1 - i);
    put(turned, count);
  }
  void end() {
    if (count_ > 0) put(0, 8 - count_);
  }

 private:
  Bytes& out_;
  std::uint64_t held_ = 0;
  int count_ = 0;
};

// The fixed code of a literal, the end or a length (RFC 1951, 3.2.6).
void put_symbol(BitWriter& w, int s) {
  const auto u = static_cast<std::uint32_t>(s);
  if (s < 144)
    w.code(0x30 + u, 8);
  else if (s < 256)
    w.code(0x190 + u - 144, 9);
  else if (s < 280)
    w.code(u - 256, 7);
  else
    w.code(0xC0 + u - 280, 8);
}

// Codes for lengths and distances: the value of each code's first entry and its extra bits (RFC 1951, 3.2.5).
void put_match(BitWriter& w, int length, int distance) {
  int code = 0, first = 3, extra = 0;
  if (length == 258) {
    put_symbol(w, 285);
  } else {
    for (code = 0;; ++code) {
      extra = code < 8 ? 0 : code / 4 - 1;
      if (length < first + (1 << extra)) break;
      first += 1 << extra;
    }
    put_symbol(w, 257 + code);
    w.put(static_cast<std::uint32_t>(length - first), extra);
  }
  first = 1;
  for (code = 0;; ++code) {
    extra = code < 4 ? 0 : code / 2 - 1;
    if (distance < first + (1 << extra)) break;
    first += 1 << extra;
  }
  w.code(static_cast<std::uint32_t>(code), 5);
  w.put(static_cast<std::uint32_t>(distance - first), extra);
}

constexpr int kWindow = 32768, kHashBits = 15, kLongest = 258;

std::uint32_t hash_at(const std::uint8_t* p) {
  const std::uint32_t v = p[0] | (p[1] << 8) | (p[2] << 16);
  return (v * 0x9E3779B1u) >> (32 - kHashBits);
}

int same_length(const std::uint8_t* a, const std::uint8_t* b, std::size_t left) {
  const int most = static_cast<int>(std::min<std::size_t>(left, kLongest));
  int n = 0;
  while (n < most && a[n] == b[n]) ++n;
  return n;
}

// One block with fixed codes; repeats are found by the last place with the same three bytes.
void deflate(Bytes& out, const Bytes& data) {
  BitWriter w(out);
  w.put(1, 1);
  w.put(1, 2);
  std::vector<std::ptrdiff_t> last(std::size_t{1} << kHashBits, -1);
  for (std::size_t at = 0; at < data.size();) {
    int length = 0, distance = 0;
    if (at + 3 <= data.size()) {
      std::ptrdiff_t& place = last[hash_at(&data[at])];
      const auto here = static_cast<std::ptrdiff_t>(at);
      if (place >= 0 && here - place <= kWindow) {
        distance = static_cast<int>(here - place);
        length = same_length(&data[static_cast<std::size_t>(place)], &data[at], data.size() - at);
      }
      place = here;
    }
    if (length >= 3) {
      put_match(w, length, distance);
      at += static_cast<std::size_t>(length);
    } else {
      put_symbol(w, data[at++]);
    }
  }
  put_symbol(w, 256);
  w.end();
}

void put32(Bytes& out, std::uint32_t v) {
  for (int k = 24; k >= 0; k -= 8) out.push_back(static_cast<std::uint8_t>(v >> k));
}

Bytes zlib_stream(const Bytes& data) {
  Bytes out = {0x78, 0x01};
  deflate(out, data);
  std::uint32_t a = 1, b = 0;
  for (const std::uint8_t v : data) {
    a = (a + v) % 65521;
    b = (b + a) % 65521;
  }
  put32(out, (b << 16) | a);
  return out;
}

void put_chunk(Bytes& png, const char* kind, const Bytes& data) {
  put32(png, static_cast<std::uint32_t>(data.size()));
  const std::size_t from = png.size();
  png.insert(png.end(), kind, kind + 4);
  png.insert(png.end(), data.begin(), data.end());
  std::uint32_t crc = ~0u;
  for (std::size_t i = from; i < png.size(); ++i) {
    crc ^= png[i];
    for (int k = 0; k < 8; ++k) crc = (crc >> 1) ^ (crc & 1 ? 0xEDB88320u : 0);
  }
  put32(png, ~crc);
}

}  // namespace

std::vector<std::uint8_t> write_png(int width, int height, const std::vector<std::uint8_t>& rgb) {
  const std::size_t row = static_cast<std::size_t>(width) * 3;
  Bytes rows;
  rows.reserve((row + 1) * static_cast<std::size_t>(height));
  // Each row as its difference from the one above (filter 2): still areas become zeros.
  for (int y = 0; y < height; ++y) {
    rows.push_back(2);
    const std::uint8_t* p = &rgb[static_cast<std::size_t>(y) * row];
    for (std::size_t i = 0; i < row; ++i)
      rows.push_back(static_cast<std::uint8_t>(y == 0 ? p[i] : p[i] - *(p + i - row)));
  }
  Bytes png = {0x89, 'P', 'N', 'G', '\r', '\n', 0x1a, '\n'}, head;
  put32(head, static_cast<std::uint32_t>(width));
  put32(head, static_cast<std::uint32_t>(height));
  head.insert(head.end(), {8, 2, 0, 0, 0});
  put_chunk(png, "IHDR", head);
  put_chunk(png, "IDAT", zlib_stream(rows));
  put_chunk(png, "IEND", {});
  return png;
}

}  // namespace intercusp
