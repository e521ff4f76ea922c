#include "formats/obj.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include "formats/import_error.h"
#include "formats/number_text.h"
#include "formats/text_cursor.h"

namespace intercusp {
namespace {

using FloatColour = std::array<float, 4>;

class ObjReader {
 public:
  ObjReader(const std::uint8_t* bytes, std::size_t size, const std::string& name) : text_(bytes, size), name_(name) {}

  Result<ImportedMesh> read() {
    while (!text_.at_end()) {
      const std::string_view word = text_.next_word_on_line();
      Status s = word == "v" ? read_vertex() : word == "f" ? read_face() : pass_over();
      if (!s) return s.error();
      text_.skip_line();
    }
    if (mesh_.positions.empty()) {
      return Error{"no mesh was found in this file", name_, "choose an STL, PLY or OBJ file of the scan"};
    }
    keep_colours();
    return finish_indexed(std::move(mesh_), "OBJ", notes_, name_);
  }

 private:
  Error error(std::string what) const { return error_at_line(name_, text_.line(), std::move(what), kExportAgain); }

  // A continued line must be passed whole, or its rest would be taken for a line of its own.
  Status pass_over() {
    while (!text_.next_word_on_line(true).empty()) continue;
    return Done{};
  }

  Status read_vertex() {
    std::array<double, 8> values{};
    std::size_t count = 0;
    for (std::string_view word; !(word = text_.next_word_on_line(true)).empty();) {
      if (word[0] == '#') break;
      if (count == values.size()) return error("a vertex has more than 8 numbers");
      const NumberKind kind = read_number(word, values[count++]);
      if (kind == NumberKind::no_number) return error("a vertex holds something else than a number");
      if (kind == NumberKind::not_finite) return error("a vertex holds a number that is not finite");
    }
    if (count < 3) return error("a vertex has fewer than 3 coordinates");
    mesh_.positions.push_back(Vec3(values[0], values[1], values[2]).cast<float>());
    add_colour(values, count);
    return Done{};
  }

  // 6 and 7 numbers: x y z r g b [a]; 8: x y z w r g b a; 3 and 4 (x y z w): no colour.
  void add_colour(const std::array<double, 8>& values, std::size_t count) {
    if (count < 6 || colours_.size() + 1 != mesh_.positions.size()) return;
    const std::size_t first = count == 8 ? 4 : 3;
    FloatColour colour = {0, 0, 0, -1};  // -1: no alpha given
    for (std::size_t k = 0; first + k < count; ++k) colour[k] = static_cast<float>(values[first + k]);
    for (const float c : colour) brightest_ = std::max(brightest_, c);
    colours_.push_back(colour);
  }

  void keep_colours() {
    if (colours_.size() != mesh_.positions.size()) return;
    const float scale = brightest_ > 1 ? 1 : 255;
    mesh_.colours.reserve(colours_.size());
    for (const FloatColour& c : colours_) {
      Colour bytes{};
      for (std::size_t k = 0; k < 4; ++k) {
        bytes[k] = static_cast<std::uint8_t>(std::lround(std::clamp(c[k] * scale, 0.0f, 255.0f)));
      }
      if (c[3] < 0) bytes[3] = 255;
      mesh_.colours.push_back(bytes);
    }
  }

  Status read_face() {
    Triangle fan{};
    std::size_t corners = 0;
    for (std::string_view word; !(word = text_.next_word_on_line(true)).empty(); ++corners) {
      if (word[0] == '#') break;
      const Result<std::uint32_t> index = read_corner(word);
      if (!index) return index.error();
      fan[std::min<std::size_t>(corners, 2)] = index.value();
      if (corners >= 2) {
        mesh_.triangles.push_back(fan);
        fan[1] = fan[2];
      }
    }
    notes_.split_polygons += corners > 3;
    notes_.short_faces += corners < 3;
    return Done{};
  }

  Result<std::uint32_t> read_corner(std::string_view word) const {
    const std::size_t slash = word.find('/');
    const auto number = read_whole(word.substr(0, slash));
    const bool rest_ok =
        slash == std::string_view::npos || word.find_first_not_of("/-+0123456789", slash) == std::string_view::npos;
    if (!number || !rest_ok) return error("a face holds something else than indices");
    const auto vertices = static_cast<std::int64_t>(mesh_.positions.size());
    const std::int64_t index = *number < 0 ? *number + vertices : *number - 1;
    if (*number == 0 || index < 0 || index >= vertices) {
      return error("a face points to vertex " + std::to_string(*number) + ", but " +
                   with_commas(mesh_.positions.size()) + " vertices stand before it, counted from 1");
    }
    return static_cast<std::uint32_t>(index);
  }

  TextCursor text_;
  const std::string& name_;
  Mesh mesh_;
  std::vector<FloatColour> colours_;
  float brightest_ = 0;
  ImportNotes notes_;
};

}  // namespace

Result<ImportedMesh> read_obj(const std::uint8_t* bytes, std::size_t size, const std::string& display_name) {
  return ObjReader(bytes, size, display_name).read();
}

}  // namespace intercusp
