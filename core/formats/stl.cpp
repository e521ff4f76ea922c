#include "formats/stl.h"

#include <string>

#include "formats/byte_order.h"
#include "formats/import_error.h"
#include "formats/number_text.h"
#include "formats/text_cursor.h"
#include "geometry/weld.h"

namespace intercusp {
namespace {

constexpr std::size_t kBinaryHeaderSize = 80, kFirstTriangle = 84, kTriangleSize = 50;

// Triangles of a file without shared vertices, welded as they come.
class Soup {
 public:
  explicit Soup(std::size_t expected_triangles) : welder_(expected_triangles / 2 + 3) {
    mesh_.triangles.reserve(expected_triangles);
  }

  void add(const Vec3f (&corners)[3]) {
    const Triangle t = {welder_.add(corners[0]), welder_.add(corners[1]), welder_.add(corners[2])};
    corners_ += 3;
    if (t[0] == t[1] || t[1] == t[2] || t[2] == t[0]) {
      ++notes_.collapsed_triangles;
    } else {
      mesh_.triangles.push_back(t);
    }
  }

  std::size_t triangles() const { return corners_ / 3; }

  // A corner that only a collapsed triangle used would stay behind: rare, so welding once more removes it.
  Result<ImportedMesh> finish(const char* format, const std::string& display_name) {
    notes_.joined_vertices = corners_ - welder_.positions().size();
    mesh_.positions = welder_.take();
    if (notes_.collapsed_triangles == 0) return finish_soup(std::move(mesh_), format, notes_, display_name);
    return finish_indexed(std::move(mesh_), format, notes_, display_name);
  }

 private:
  Mesh mesh_;
  VertexWelder welder_;
  ImportNotes notes_;
  std::size_t corners_ = 0;
};

class TextStlReader {
 public:
  TextStlReader(const std::uint8_t* bytes, std::size_t size, const std::string& name)
      : text_(bytes, size), name_(name), soup_(size / kBytesPerTriangle) {}

  Result<ImportedMesh> read() {
    bool open = false;  // between solid and endsolid
    for (std::string_view word = text_.next_word(); !word.empty(); word = text_.next_word()) {
      if (same_word(word, "solid") || same_word(word, "endsolid")) {
        open = same_word(word, "solid");
        text_.skip_line();  // the rest is a name
      } else if (open && same_word(word, "facet")) {
        if (const Status facet = read_facet(); !facet) return facet.error();
      } else {
        return wrong_word(word, open ? "facet or endsolid" : "solid");
      }
    }
    if (open) return at_line("the file ends without endsolid, so triangles may be missing");
    return soup_.finish("text STL", name_);
  }

 private:
  static constexpr std::size_t kBytesPerTriangle = 250;  // usual; only a first guess of the memory to set aside

  Error at_line(std::string what) const { return error_at_line(name_, text_.line(), std::move(what), kExportAgain); }

  Error wrong_word(std::string_view word, const std::string& wanted) const {
    const std::string triangle = " in triangle " + with_commas(soup_.triangles() + 1);
    if (word.empty()) return at_line("the file ends" + triangle + ", where " + wanted + " must follow");
    return at_line("another word than " + wanted + " stands" + triangle);
  }

  Status expect(std::initializer_list<const char*> words) {
    for (const char* wanted : words) {
      const std::string_view word = text_.next_word();
      if (!same_word(word, wanted)) return wrong_word(word, wanted);
    }
    return Done{};
  }

  Status read_vertex(Vec3f& corner) {
    if (Status s = expect({"vertex"}); !s) return s;
    for (int k = 0; k < 3; ++k) {
      double value = 0;
      const std::string_view word = text_.next_word();
      const NumberKind kind = read_number(word, value);
      if (kind == NumberKind::no_number) return wrong_word(word, "a number");
      if (kind == NumberKind::not_finite) {
        return at_line("a coordinate of triangle " + with_commas(soup_.triangles() + 1) + " is not a finite number");
      }
      corner[k] = static_cast<float>(value);
    }
    return Done{};
  }

  Status read_facet() {
    if (Status s = expect({"normal"}); !s) return s;
    for (int k = 0; k < 3; ++k) text_.next_word();  // the stored normal may be anything
    if (Status s = expect({"outer", "loop"}); !s) return s;
    Vec3f corners[3];
    for (Vec3f& corner : corners) {
      if (Status s = read_vertex(corner); !s) return s;
    }
    if (Status s = expect({"endloop", "endfacet"}); !s) return s;
    soup_.add(corners);
    return Done{};
  }

  TextCursor text_;
  const std::string& name_;
  Soup soup_;
};

}  // namespace

bool has_binary_stl_size(const std::uint8_t* bytes, std::size_t size) {
  if (size < kFirstTriangle) return false;
  return kFirstTriangle + std::uint64_t{load_u32_le(bytes + kBinaryHeaderSize)} * kTriangleSize == size;
}

Result<ImportedMesh> read_binary_stl(const std::uint8_t* bytes, std::size_t size, const std::string& display_name) {
  if (size < kFirstTriangle) {
    return error_at_byte(display_name, size, "the file ends inside the 84 bytes that a binary STL begins with",
                         kExportAgain);
  }
  const std::uint64_t count = load_u32_le(bytes + kBinaryHeaderSize);
  if (!has_binary_stl_size(bytes, size)) {
    return error_at_byte(display_name, kBinaryHeaderSize,
                         "read as binary STL it promises " + with_commas(count) + " triangles, which take " +
                             with_commas(kFirstTriangle + count * kTriangleSize) + " bytes, but the file has " +
                             with_commas(size),
                         kExportAgain);
  }
  Soup soup(static_cast<std::size_t>(count));
  Vec3f corners[3];
  for (std::size_t at = kFirstTriangle; at < size; at += kTriangleSize) {
    const std::uint8_t* p = bytes + at + 12;
    for (Vec3f& corner : corners) {
      corner = {load_f32_le(p), load_f32_le(p + 4), load_f32_le(p + 8)};
      p += 12;
    }
    if (!(corners[0] + corners[1] + corners[2]).allFinite() &&
        !(corners[0].allFinite() && corners[1].allFinite() && corners[2].allFinite())) {
      return error_at_byte(display_name, at,
                           "a coordinate of triangle " + with_commas(soup.triangles() + 1) + " is not a finite number",
                           kExportAgain);
    }
    soup.add(corners);
  }
  return soup.finish("binary STL", display_name);
}

Result<ImportedMesh> read_text_stl(const std::uint8_t* bytes, std::size_t size, const std::string& display_name) {
  return TextStlReader(bytes, size, display_name).read();
}

}  // namespace intercusp
