#include "formats/ply_header.h"

#include <optional>

#include "formats/import_error.h"
#include "formats/number_text.h"
#include "formats/text_cursor.h"

namespace intercusp {
namespace {

std::optional<PlyType> type_named(std::string_view name) {
  static const struct {
    const char* name;
    PlyType type;
  } kTypes[] = {{"char", PlyType::int8},      {"int8", PlyType::int8},       {"uchar", PlyType::uint8},
                {"uint8", PlyType::uint8},    {"short", PlyType::int16},     {"int16", PlyType::int16},
                {"ushort", PlyType::uint16},  {"uint16", PlyType::uint16},   {"int", PlyType::int32},
                {"int32", PlyType::int32},    {"uint", PlyType::uint32},     {"uint32", PlyType::uint32},
                {"float", PlyType::float32},  {"float32", PlyType::float32}, {"double", PlyType::float64},
                {"float64", PlyType::float64}};
  for (const auto& known : kTypes) {
    if (name == known.name) return known.type;
  }
  return std::nullopt;
}

class HeaderReader {
 public:
  HeaderReader(const std::uint8_t* bytes, std::size_t size, const std::string& name)
      : text_(bytes, size), name_(name) {}

  Result<PlyHeader> read() {
    if (text_.next_word_on_line() != "ply") return error("the file does not begin with ply");
    text_.skip_line();
    while (!text_.at_end()) {
      const std::string_view word = text_.next_word_on_line();
      if (word == "end_header") return finish();
      if (Status s = read_line(word); !s) return s.error();
      text_.skip_line();
    }
    return error("the file ends before end_header");
  }

 private:
  Error error(std::string what) const { return error_at_line(name_, text_.line(), std::move(what), kExportAgain); }

  Result<PlyHeader> finish() {
    if (!have_format_) return error("the header does not say format");
    text_.skip_line();
    header_.data_begin = text_.byte();
    header_.data_line = text_.line();
    return std::move(header_);
  }

  Status read_line(std::string_view word) {
    if (word.empty() || word == "comment" || word == "obj_info") return Done{};
    if (word == "format") return read_format();
    if (word == "element") return read_element();
    if (word == "property") return read_property();
    return error("the header holds a line that PLY does not know");
  }

  Status read_format() {
    const std::string_view encoding = text_.next_word_on_line(), version = text_.next_word_on_line();
    if (encoding == "ascii") {
      header_.encoding = PlyEncoding::text;
    } else if (encoding == "binary_little_endian") {
      header_.encoding = PlyEncoding::little_endian;
    } else if (encoding == "binary_big_endian") {
      header_.encoding = PlyEncoding::big_endian;
    } else {
      return error("the format is none of ascii, binary_little_endian and binary_big_endian");
    }
    if (version != "1.0") return error("the PLY version is not 1.0");
    have_format_ = true;
    return Done{};
  }

  Status read_element() {
    PlyElement element;
    element.name = text_.next_word_on_line();
    const auto count = read_whole(text_.next_word_on_line());
    if (element.name.empty() || !count || *count < 0) return error("an element lacks its name or count");
    element.count = static_cast<std::uint64_t>(*count);
    for (const PlyElement& other : header_.elements) {
      if (other.name == element.name) return error("the same element stands twice in the header");
    }
    header_.elements.push_back(std::move(element));
    return Done{};
  }

  Status read_property() {
    if (header_.elements.empty()) return error("a property stands before the first element");
    PlyProperty property;
    std::string_view type_name = text_.next_word_on_line();
    property.is_list = type_name == "list";
    if (property.is_list) {
      const auto count_type = type_named(text_.next_word_on_line());
      if (!count_type || *count_type == PlyType::float32 || *count_type == PlyType::float64) {
        return error("the length of a list property has no whole-number type");
      }
      property.count_type = *count_type;
      type_name = text_.next_word_on_line();
    }
    const auto type = type_named(type_name);
    if (!type) return error("a property has a type that PLY does not know");
    property.type = *type;
    property.name = text_.next_word_on_line();
    if (property.name.empty()) return error("a property has no name");
    header_.elements.back().properties.push_back(std::move(property));
    return Done{};
  }

  TextCursor text_;
  const std::string& name_;
  PlyHeader header_;
  bool have_format_ = false;
};

}  // namespace

std::size_t ply_size(PlyType type) {
  switch (type) {
    case PlyType::int8:
    case PlyType::uint8:
      return 1;
    case PlyType::int16:
    case PlyType::uint16:
      return 2;
    case PlyType::int32:
    case PlyType::uint32:
    case PlyType::float32:
      return 4;
    case PlyType::float64:
      return 8;
  }
  return 0;
}

Result<PlyHeader> read_ply_header(const std::uint8_t* bytes, std::size_t size, const std::string& display_name) {
  return HeaderReader(bytes, size, display_name).read();
}

}  // namespace intercusp
