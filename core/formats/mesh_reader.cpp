#include "formats/mesh_reader.h"

#include <algorithm>
#include <cstring>
#include <optional>

#include "formats/import_error.h"
#include "formats/obj.h"
#include "formats/ply.h"
#include "formats/stl.h"
#include "formats/text_cursor.h"

namespace intercusp {
namespace {

const char* const kChooseScan = "choose an STL, PLY or OBJ file of the scan";

struct KnownType {
  std::size_t at;
  const char* magic;
  std::size_t length;
  const char* is;
  const char* remedy;
};

// First bytes of what is most often dropped by mistake.
const KnownType kOtherTypes[] = {
    {0, "glTF", 4, "this is a case file (.glb), not a scan", "open it as a case"},
    {0, "\x89PNG", 4, "this is a PNG picture, not a scan", kChooseScan},
    {0, "\xFF\xD8\xFF", 3, "this is a JPEG picture, not a scan", kChooseScan},
    {0, "%PDF", 4, "this is a PDF document, not a scan", kChooseScan},
    {0, "PK\x03\x04", 4, "this is a ZIP archive (or a format packed as one)", "unpack it and choose the scan inside"},
    {0, "\x1F\x8B", 2, "this is a gzip archive", "unpack it and choose the scan inside"},
    {0, "7z\xBC\xAF", 4, "this is a 7z archive", "unpack it and choose the scan inside"},
    {0, "Rar!", 4, "this is a RAR archive", "unpack it and choose the scan inside"},
    {128, "DICM", 4, "this is a DICOM file", "export the surface from it as STL, PLY or OBJ"},
    {0, "\xFF\xFE", 2, "this is text in UTF-16", "save it as plain text (UTF-8)"},
    {0, "\xFE\xFF", 2, "this is text in UTF-16", "save it as plain text (UTF-8)"},
    {0, "<", 1, "this is an XML or HTML file, not a scan", kChooseScan},
    {0, "{", 1, "this is a JSON file, not a scan", kChooseScan},
};

std::optional<Error> other_type(const std::uint8_t* bytes, std::size_t size, const std::string& name) {
  for (const KnownType& type : kOtherTypes) {
    if (size >= type.at + type.length && std::memcmp(bytes + type.at, type.magic, type.length) == 0) {
      return Error{type.is, name, type.remedy};
    }
  }
  return std::nullopt;
}

// Mesh formats in text hold no NUL; the start of a binary file nearly always does.
bool looks_binary(const std::uint8_t* bytes, std::size_t size) {
  return std::memchr(bytes, 0, std::min<std::size_t>(size, 4096)) != nullptr;
}

Result<ImportedMesh> read_binary(const std::uint8_t* bytes, std::size_t size, const std::string& name) {
  Result<ImportedMesh> as_stl = read_binary_stl(bytes, size, name);
  if (as_stl) return as_stl;
  Error error = as_stl.error();
  error.what = "this is no mesh file that can be read; " + error.what;
  return error;
}

}  // namespace

Result<ImportedMesh> read_mesh(const std::uint8_t* bytes, std::size_t size, const std::string& display_name) {
  if (size == 0) return Error{"the file is empty", display_name, kExportAgain};
  // The size test comes first: text has letters where the count stands and so never passes it.
  if (has_binary_stl_size(bytes, size)) return read_binary_stl(bytes, size, display_name);
  if (const auto other = other_type(bytes, size, display_name)) return *other;
  const std::size_t mark = size >= 3 && std::memcmp(bytes, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;  // UTF-8 byte order mark
  TextCursor start(bytes + mark, size - mark);
  const std::string_view word = start.next_word();
  if (word == "ply" && mark == 0) return read_ply(bytes, size, display_name);
  if (looks_binary(bytes, size)) return read_binary(bytes, size, display_name);
  if (same_word(word, "solid")) return read_text_stl(bytes + mark, size - mark, display_name);
  return read_obj(bytes + mark, size - mark, display_name);
}

}  // namespace intercusp
