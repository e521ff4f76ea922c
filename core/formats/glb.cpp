#include "formats/glb.h"

#include <string>

#include "formats/byte_order.h"

namespace intercusp {
namespace {

using nlohmann::json;

constexpr std::uint32_t kMagic = 0x46546C67;      // "glTF"
constexpr std::uint32_t kJsonChunk = 0x4E4F534A;  // "JSON"
constexpr std::uint32_t kBinChunk = 0x004E4942;   // "BIN\0"
constexpr std::size_t kHeaderSize = 12, kChunkHeaderSize = 8;

Error at_byte(std::size_t byte, std::string what, std::string remedy) {
  return {std::move(what), "byte " + std::to_string(byte), std::move(remedy)};
}

const char* const kCopyAgain = "the file may have been cut off or damaged on its way; copy or export it again";

// Walks the JSON text without building anything: finds the byte of the first mistake and stops at too deep nesting.
class JsonGuard : public nlohmann::json_sax<json> {
 public:
  std::size_t bad_byte = 0;
  bool too_deep = false;

  bool null() override { return true; }
  bool boolean(bool) override { return true; }
  bool number_integer(number_integer_t) override { return true; }
  bool number_unsigned(number_unsigned_t) override { return true; }
  bool number_float(number_float_t, const string_t&) override { return true; }
  bool string(string_t&) override { return true; }
  bool binary(binary_t&) override { return true; }
  bool key(string_t&) override { return true; }
  bool start_object(std::size_t) override { return descend(); }
  bool end_object() override { return ascend(); }
  bool start_array(std::size_t) override { return descend(); }
  bool end_array() override { return ascend(); }
  bool parse_error(std::size_t position, const std::string&, const nlohmann::detail::exception&) override {
    bad_byte = position;
    return false;
  }

 private:
  bool descend() {
    too_deep = ++depth_ > kMaxJsonDepth;
    return !too_deep;
  }
  bool ascend() {
    --depth_;
    return true;
  }
  int depth_ = 0;
};

Result<json> parse_json_chunk(const std::uint8_t* begin, const std::uint8_t* end, std::size_t offset) {
  JsonGuard guard;
  if (!json::sax_parse(begin, end, &guard)) {
    if (guard.too_deep) {
      return at_byte(offset, "the JSON part nests more than " + std::to_string(kMaxJsonDepth) + " levels deep",
                     "no ordinary program writes this; export the file again");
    }
    return at_byte(offset + guard.bad_byte, "the JSON part is malformed", kCopyAgain);
  }
  json parsed = json::parse(begin, end, nullptr, false);
  if (!parsed.is_object()) return at_byte(offset, "the JSON part is not an object", "export the file again");
  return parsed;
}

Status check_version(const json& root) {
  const auto asset = root.find("asset");
  const bool has = asset != root.end() && asset->is_object() && asset->contains("version");
  if (!has || !(*asset)["version"].is_string()) {
    return Error{"there is no asset.version", "JSON key asset", "the file is not glTF; export it again as glTF 2.0"};
  }
  const std::string& version = (*asset)["version"].get_ref<const std::string&>();
  if (version.rfind("2.", 0) != 0) {
    return Error{"this is glTF of another version than 2", "JSON key asset.version", "export it again as glTF 2.0"};
  }
  return Done{};
}

Status check_header(const std::uint8_t* bytes, std::size_t size) {
  if (size < 4 || load_u32_le(bytes) != kMagic) {
    return at_byte(0, "this is not a .glb file (it does not begin with glTF)", "choose a .glb file");
  }
  if (size < kHeaderSize + kChunkHeaderSize) return at_byte(size, "the file ends inside its header", kCopyAgain);
  if (load_u32_le(bytes + 4) != 2) {
    return at_byte(4, "the container has version " + std::to_string(load_u32_le(bytes + 4)) + " instead of 2",
                   "export it again as glTF 2.0 binary");
  }
  const std::uint32_t length = load_u32_le(bytes + 8);
  if (length != size) {
    return at_byte(
        8, "the header gives a length of " + std::to_string(length) + " bytes but the file has " + std::to_string(size),
        kCopyAgain);
  }
  return Done{};
}

struct Chunk {
  std::uint32_t type = 0;
  std::size_t begin = 0, end = 0;
};

Result<Chunk> next_chunk(const std::uint8_t* bytes, std::size_t size, std::size_t at) {
  if (size - at < kChunkHeaderSize) return at_byte(at, "the file ends inside the header of a chunk", kCopyAgain);
  const std::size_t length = load_u32_le(bytes + at);
  const std::size_t begin = at + kChunkHeaderSize;
  if (length > size - begin) {
    return at_byte(
        at, "a chunk claims " + std::to_string(length) + " bytes but only " + std::to_string(size - begin) + " follow",
        kCopyAgain);
  }
  if (length % 4 != 0) return at_byte(at, "the length of a chunk is not a multiple of 4", "export the file again");
  return Chunk{load_u32_le(bytes + at + 4), begin, begin + length};
}

void append_chunk(std::vector<std::uint8_t>& out, std::uint32_t type, const std::uint8_t* data, std::size_t size,
                  std::uint8_t padding) {
  append_u32_le(out, static_cast<std::uint32_t>((size + 3) / 4 * 4));
  append_u32_le(out, type);
  out.insert(out.end(), data, data + size);
  out.insert(out.end(), (4 - size % 4) % 4, padding);
}

}  // namespace

Result<GlbDocument> parse_glb(const std::uint8_t* bytes, std::size_t size) {
  if (const Status header = check_header(bytes, size); !header) return header.error();
  GlbDocument document;
  bool have_bin = false;
  for (std::size_t at = kHeaderSize; at < size;) {
    const Result<Chunk> chunk = next_chunk(bytes, size, at);
    if (!chunk) return chunk.error();
    const auto [type, begin, end] = chunk.value();
    if (at == kHeaderSize) {
      if (type != kJsonChunk) return at_byte(at + 4, "the first chunk is not JSON", "export the file again");
      Result<json> parsed = parse_json_chunk(bytes + begin, bytes + end, begin);
      if (!parsed) return parsed.error();
      document.json = std::move(parsed).value();
    } else if (type == kBinChunk && !have_bin) {
      document.bin.assign(bytes + begin, bytes + end);
      have_bin = true;
    }
    at = end;
  }
  if (const Status version = check_version(document.json); !version) return version.error();
  return document;
}

std::vector<std::uint8_t> serialize_glb(const GlbDocument& document) {
  json root = document.json;
  if (!document.bin.empty()) {
    json& buffers = root["buffers"];
    if (!buffers.is_array() || buffers.empty() || !buffers[0].is_object()) buffers = json::array({json::object()});
    buffers[0]["byteLength"] = document.bin.size();
  }
  const std::string text = root.dump(-1, ' ', false, json::error_handler_t::replace);
  std::vector<std::uint8_t> out;
  out.reserve(kHeaderSize + 2 * kChunkHeaderSize + text.size() + document.bin.size() + 6);
  append_u32_le(out, kMagic);
  append_u32_le(out, 2);
  append_u32_le(out, 0);  // the length, known at the end
  append_chunk(out, kJsonChunk, reinterpret_cast<const std::uint8_t*>(text.data()), text.size(), ' ');
  if (!document.bin.empty()) append_chunk(out, kBinChunk, document.bin.data(), document.bin.size(), 0);
  const auto length = static_cast<std::uint32_t>(out.size());
  for (std::size_t i = 0; i < 4; ++i) out[8 + i] = static_cast<std::uint8_t>(length >> (8 * i));
  return out;
}

}  // namespace intercusp
