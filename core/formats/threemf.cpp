#include "formats/threemf.h"

#include "formats/number_text.h"
#include "formats/zip_writer.h"

namespace intercusp {
namespace {

constexpr char kPartTypes[] =
    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
    "<Types xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\">"
    "<Default Extension=\"rels\" ContentType=\"application/vnd.openxmlformats-package.relationships+xml\"/>"
    "<Default Extension=\"model\" ContentType=\"application/vnd.ms-package.3dmanufacturing-3dmodel+xml\"/>"
    "</Types>\n";
constexpr char kRelations[] =
    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
    "<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">"
    "<Relationship Target=\"/3D/3dmodel.model\" Id=\"rel0\" "
    "Type=\"http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel\"/>"
    "</Relationships>\n";

/// Text as XML holds it; what XML 1.0 forbids is left out.
std::string xml_text(const std::string& text) {
  std::string out;
  for (const char ch : text) {
    if (ch == '&') {
      out += "&amp;";
    } else if (ch == '<') {
      out += "&lt;";
    } else if (ch == '>') {
      out += "&gt;";
    } else if (static_cast<unsigned char>(ch) >= 0x20 || ch == '\t' || ch == '\n') {
      out += ch;
    }
  }
  return out;
}

void append_vertex(std::string& out, const Vec3f& p) {
  append_decimal(out += "<vertex x=\"", p.x());
  append_decimal(out += "\" y=\"", p.y());
  append_decimal(out += "\" z=\"", p.z());
  out += "\"/>\n";
}

std::string model_text(const Mesh& mesh, const std::string& title) {
  std::string out =
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<model unit=\"millimeter\" xml:lang=\"en\" "
      "xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\">\n"
      "<metadata name=\"Title\">" +
      xml_text(title) +
      "</metadata>\n<metadata name=\"Application\">Intercusp</metadata>\n<resources><object id=\"1\" "
      "type=\"model\"><mesh>\n<vertices>\n";
  out.reserve(110 * mesh.positions.size() + 1000);
  for (const Vec3f& p : mesh.positions) append_vertex(out, p);
  out += "</vertices>\n<triangles>\n";
  for (const Triangle& t : mesh.triangles) {
    out += "<triangle v1=\"" + std::to_string(t[0]) + "\" v2=\"" + std::to_string(t[1]) + "\" v3=\"" +
           std::to_string(t[2]) + "\"/>\n";
  }
  return out + "</triangles>\n</mesh></object></resources>\n<build><item objectid=\"1\"/></build>\n</model>\n";
}

std::vector<std::uint8_t> as_bytes(const std::string& text) {
  return {text.begin(), text.end()};
}

}  // namespace

std::vector<std::uint8_t> write_3mf(const Mesh& mesh, const std::string& title) {
  return write_zip({{"[Content_Types].xml", as_bytes(kPartTypes)},
                    {"_rels/.rels", as_bytes(kRelations)},
                    {"3D/3dmodel.model", as_bytes(model_text(mesh, title))}});
}

}  // namespace intercusp
