#include "formats/ply.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "formats/import_error.h"
#include "formats/ply_header.h"
#include "formats/ply_values.h"

namespace intercusp {
namespace {

// What a property of a vertex is for: the place in a row of seven values.
enum Role : std::size_t { kX, kY, kZ, kRed, kGreen, kBlue, kAlpha, kRoles };
constexpr const char* kRoleNames[kRoles] = {"x", "y", "z", "red", "green", "blue", "alpha"};

std::size_t role_of(const PlyProperty& property) {
  if (property.is_list) return kRoles;
  for (std::size_t role = 0; role < kRoles; ++role) {
    if (property.name == kRoleNames[role]) return role;
  }
  return kRoles;
}

bool is_index_list(const PlyProperty& p) {
  return p.is_list && (p.name == "vertex_indices" || p.name == "vertex_index");
}

// Full intensity of a colour property: 1 for floats, 255 for bytes, 65535 for two bytes.
double full_intensity(PlyType type) {
  if (type == PlyType::float32 || type == PlyType::float64) return 1;
  return type == PlyType::uint16 ? 65535 : 255;
}

std::uint8_t colour_byte(double value, double full) {
  if (!(value > 0)) return 0;  // also not-a-number
  return static_cast<std::uint8_t>(std::lround(std::min(value / full, 1.0) * 255));
}

template <class Values>
class BodyReader {
 public:
  BodyReader(Values values, const PlyHeader& header, const std::string& name)
      : values_(values), header_(header), name_(name) {
    for (const PlyElement& element : header.elements) {
      if (element.name == "vertex") vertex_count_ = element.count;
    }
  }

  Status read() {
    for (const PlyElement& element : header_.elements) {
      const bool own = element.name == "vertex" || element.name == "face";
      if (element.properties.empty() && !own) continue;
      if (Status s = check_room(element); !s) return s;
      Status s = element.name == "vertex" ? read_vertices(element)
                 : element.name == "face" ? read_faces(element)
                                          : skip_rows(element);
      if (!s) return s;
    }
    return Done{};
  }

  Mesh mesh;
  ImportNotes notes;

 private:
  Error error(std::string what) const { return values_.error(name_, std::move(what)); }

  Error failed(ReadStatus status, const PlyElement& element, std::uint64_t row) const {
    const std::string place = element.name == "vertex" || element.name == "face"
                                  ? element.name + " " + with_commas(row + 1) + " of " + with_commas(element.count)
                                  : "an element besides vertex and face";
    return error(status == ReadStatus::at_end ? "the file ends in " + place : "there is no number in " + place);
  }

  // A count that the rest of the file cannot hold is a lie; seeing it first keeps memory within the file's size.
  Status check_room(const PlyElement& element) const {
    std::uint64_t row = 0;
    for (const PlyProperty& p : element.properties) row += Values::least_bytes(p.is_list ? p.count_type : p.type);
    if (row == 0 || element.count <= values_.left() / row) return Done{};
    const bool own_name = element.name == "vertex" || element.name == "face";
    return error("the header promises " + with_commas(element.count) + (own_name ? " " + element.name : "") +
                 " rows of at least " + with_commas(row) + " bytes, but only " + with_commas(values_.left()) +
                 " bytes follow");
  }

  ReadStatus list_length(const PlyProperty& property, std::uint64_t& length) {
    double value = 0;
    const ReadStatus status = values_.read(property.count_type, value);
    if (status != ReadStatus::read) return status;
    if (!(value >= 0) || value > 4294967295.0 || value != std::floor(value)) return ReadStatus::no_number;
    length = static_cast<std::uint64_t>(value);
    return status;
  }

  ReadStatus skip_property(const PlyProperty& property) {
    std::uint64_t count = 1;
    if (property.is_list) {
      const ReadStatus status = list_length(property, count);
      if (status != ReadStatus::read) return status;
    }
    return values_.skip(property.type, count);
  }

  Status skip_rows(const PlyElement& element) {
    for (std::uint64_t row = 0; row < element.count; ++row) {
      for (const PlyProperty& property : element.properties) {
        const ReadStatus status = skip_property(property);
        if (status != ReadStatus::read) return failed(status, element, row);
      }
    }
    return Done{};
  }

  Status read_vertices(const PlyElement& element) {
    std::vector<std::size_t> roles;
    std::array<bool, kRoles> has{};
    std::array<double, kRoles> full{}, values{};
    for (const PlyProperty& property : element.properties) {
      roles.push_back(role_of(property));
      if (roles.back() == kRoles) continue;
      has[roles.back()] = true;
      full[roles.back()] = full_intensity(property.type);
    }
    if (!has[kX] || !has[kY] || !has[kZ]) return error("the vertices lack one of the properties x, y and z");
    const bool coloured = has[kRed] && has[kGreen] && has[kBlue];
    mesh.positions.reserve(static_cast<std::size_t>(element.count));
    if (coloured) mesh.colours.reserve(static_cast<std::size_t>(element.count));
    if (!has[kAlpha]) values[kAlpha] = full[kAlpha] = 1;
    for (std::uint64_t row = 0; row < element.count; ++row) {
      for (std::size_t i = 0; i < roles.size(); ++i) {
        const PlyProperty& property = element.properties[i];
        const ReadStatus status =
            roles[i] == kRoles ? skip_property(property) : values_.read(property.type, values[roles[i]]);
        if (status != ReadStatus::read) return failed(status, element, row);
      }
      if (Status s = add_vertex(values, row); !s) return s;
      if (coloured) mesh.colours.push_back(colour_of(values, full));
    }
    return Done{};
  }

  Status add_vertex(const std::array<double, kRoles>& values, std::uint64_t row) {
    const Vec3f p = Vec3(values[kX], values[kY], values[kZ]).template cast<float>();
    if (!p.allFinite()) return error("a coordinate of vertex " + with_commas(row + 1) + " is not a finite number");
    mesh.positions.push_back(p);
    return Done{};
  }

  static Colour colour_of(const std::array<double, kRoles>& values, const std::array<double, kRoles>& full) {
    Colour colour{};
    for (std::size_t k = 0; k < 4; ++k) colour[k] = colour_byte(values[kRed + k], full[kRed + k]);
    return colour;
  }

  Status read_faces(const PlyElement& element) {
    const auto& properties = element.properties;
    if (std::none_of(properties.begin(), properties.end(), is_index_list)) {
      return error("the faces have no list vertex_indices");
    }
    mesh.triangles.reserve(static_cast<std::size_t>(element.count));
    for (std::uint64_t row = 0; row < element.count; ++row) {
      for (const PlyProperty& property : properties) {
        if (is_index_list(property)) {
          if (Status s = read_polygon(property, element, row); !s) return s;
          continue;
        }
        const ReadStatus status = skip_property(property);
        if (status != ReadStatus::read) return failed(status, element, row);
      }
    }
    return Done{};
  }

  Status read_polygon(const PlyProperty& property, const PlyElement& element, std::uint64_t row) {
    std::uint64_t corners = 0;
    if (const ReadStatus s = list_length(property, corners); s != ReadStatus::read) return failed(s, element, row);
    Triangle fan{};
    for (std::uint64_t k = 0; k < corners; ++k) {
      double index = 0;
      const ReadStatus s = values_.read(property.type, index);
      if (s != ReadStatus::read) return failed(s, element, row);
      if (!(index >= 0) || index >= static_cast<double>(vertex_count_) || index != std::floor(index)) {
        return error("face " + with_commas(row + 1) + " points to a vertex that does not exist (there are " +
                     with_commas(vertex_count_) + ")");
      }
      fan[k < 2 ? static_cast<std::size_t>(k) : 2] = static_cast<std::uint32_t>(index);
      if (k >= 2) {
        mesh.triangles.push_back(fan);
        fan[1] = fan[2];
      }
    }
    notes.split_polygons += corners > 3;
    notes.short_faces += corners < 3;
    return Done{};
  }

  Values values_;
  const PlyHeader& header_;
  const std::string& name_;
  std::uint64_t vertex_count_ = 0;
};

// A PLY without faces is common: a point cloud, or strips of triangles.
Status check_elements(const PlyHeader& header, const std::string& name) {
  const auto has = [&](const char* wanted) {
    return std::any_of(header.elements.begin(), header.elements.end(),
                       [&](const PlyElement& e) { return e.name == wanted && e.count > 0; });
  };
  if (!has("vertex")) return Error{"the PLY file has no vertices", name, kExportAgain};
  if (has("face")) return Done{};
  if (has("tristrips")) {
    return Error{"the PLY file holds strips of triangles, which cannot be read", name, "export it with plain faces"};
  }
  return Error{"the PLY file holds points only, no faces", name, "export the scan as a surface, not as a point cloud"};
}

template <class Values>
Result<ImportedMesh> read_body(const std::uint8_t* bytes, std::size_t size, const PlyHeader& header,
                               const std::string& name) {
  BodyReader<Values> body(Values(bytes, size, header), header, name);
  if (const Status s = body.read(); !s) return s.error();
  return finish_indexed(std::move(body.mesh), "PLY", body.notes, name);
}

}  // namespace

Result<ImportedMesh> read_ply(const std::uint8_t* bytes, std::size_t size, const std::string& display_name) {
  const Result<PlyHeader> header = read_ply_header(bytes, size, display_name);
  if (!header) return header.error();
  if (const Status s = check_elements(header.value(), display_name); !s) return s.error();
  if (header.value().encoding == PlyEncoding::text) {
    return read_body<PlyTextValues>(bytes, size, header.value(), display_name);
  }
  return read_body<PlyBinaryValues>(bytes, size, header.value(), display_name);
}

}  // namespace intercusp
