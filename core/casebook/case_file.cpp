#include "casebook/case_file.h"

#include "base/json_read.h"
#include "casebook/case_json.h"
#include "formats/glb.h"

namespace intercusp {

using nlohmann::json;

namespace {

constexpr char kExtrasKey[] = "intercusp";

/// Plain materials, so that any viewer shows bone as bone and teeth as teeth. Vertex colours multiply them.
json materials() {
  const auto material = [](const char* name, double r, double g, double b) {
    return json{{"name", name},
                {"pbrMetallicRoughness",
                 {{"baseColorFactor", {r, g, b, 1.0}}, {"metallicFactor", 0.0}, {"roughnessFactor", 0.55}}}};
  };
  return json::array(
      {material("coloured", 1, 1, 1), material("scan", 0.80, 0.74, 0.63), material("bone", 0.78, 0.71, 0.57)});
}

int material_of(const Body& body) {
  if (!body.surface->mesh().colours.empty()) return 0;
  return body.name.find("arch") != std::string::npos ? 1 : 2;
}

/// Node that carries scan space into the patient frame.
json scans_node(const Pose& patient_from_scans, const std::vector<int>& bodies) {
  json node = {{"name", "patient_from_scans"}};
  if (!bodies.empty()) node["children"] = bodies;
  const Eigen::Quaterniond q = Eigen::Quaterniond(patient_from_scans.linear()).normalized();
  const Vec3 t = patient_from_scans.translation();
  if (!patient_from_scans.matrix().isIdentity(0)) {
    node["rotation"] = {q.x(), q.y(), q.z(), q.w()};
    node["translation"] = {t.x(), t.y(), t.z()};
  }
  return node;
}

/// Keeps fields of a newer program's document that this one does not know.
void restore_kept(const Case& c, json& document) {
  if (c.kept_json.empty()) return;
  const json kept = json::parse(c.kept_json, nullptr, false);
  if (!kept.is_discarded()) restore_unknown_fields(document, kept);
}

Result<std::vector<Body>> read_bodies(const GlbDocument& glb, const json& document) {
  std::vector<Body> bodies;
  const json* list = member(document, "bodies");
  if (!list || !list->is_array()) return Error{"the case lists no bodies", "extras.intercusp.bodies", ""};
  for (std::size_t i = 0; i < list->size(); ++i) {
    const std::string where = "extras.intercusp.bodies[" + std::to_string(i) + "]";
    const auto name = text_at((*list)[i], "name");
    const auto index = number_at((*list)[i], "mesh");
    if (!name || name->empty()) return Error{"a body has no name", where, ""};
    if (!index || *index < 0 || *index > 1e6) return Error{"a body names no mesh", where, ""};
    for (const Body& other : bodies) {
      if (other.name == *name) return Error{"two bodies are named " + *name, where, ""};
    }
    auto mesh = read_gltf_mesh(glb, static_cast<int>(*index));
    if (!mesh.ok()) return mesh.error();
    Body body = make_body(*name, Surface::make(std::move(mesh).value()));
    const auto digest = text_at((*list)[i], "sha256");
    if (digest && *digest != body.mesh_sha256) {
      return Error{"the mesh of " + *name + " is not the one that was saved (its checksum differs)", where,
                   "the file is damaged or was changed by another program; go back to a copy"};
    }
    bodies.push_back(std::move(body));
  }
  return bodies;
}

}  // namespace

std::vector<std::uint8_t> write_case(const Case& c) {
  GlbDocument glb;
  glb.json = {{"asset", {{"version", "2.0"}, {"generator", "Intercusp"}}}, {"scene", 0}, {"materials", materials()}};
  json document = case_to_json(c);
  document["bodies"] = json::array();
  json nodes = json::array({json(), json()});
  std::vector<int> children;
  for (const Body& body : c.bodies) {
    const int mesh = append_mesh(glb, body.surface->mesh(), material_of(body));
    if (mesh < 0) continue;  // a body without triangles holds nothing that glTF could carry
    glb.json["meshes"][static_cast<std::size_t>(mesh)]["name"] = body.name;
    children.push_back(static_cast<int>(nodes.size()));
    nodes.push_back({{"name", body.name}, {"mesh", mesh}});
    document["bodies"].push_back({{"name", body.name}, {"mesh", mesh}, {"sha256", body.mesh_sha256}});
  }
  nodes[0] = metres_y_up_node({1});
  nodes[0]["name"] = "patient";
  nodes[1] = scans_node(c.patient_from_scans, children);
  glb.json["nodes"] = std::move(nodes);
  glb.json["scenes"] = json::array({{{"nodes", {0}}}});
  restore_kept(c, document);
  glb.json["extras"][kExtrasKey] = std::move(document);
  return serialize_glb(glb);
}

Result<Case> read_case(const std::uint8_t* bytes, std::size_t size) {
  auto glb = parse_glb(bytes, size);
  if (!glb.ok()) return glb.error();
  const json* extras = member(glb.value().json, "extras");
  const json* document = extras ? member(*extras, kExtrasKey) : nullptr;
  if (!document) {
    return Error{"this glTF file holds no Intercusp case", "extras",
                 "open a case that Intercusp saved, or start a new case from scans"};
  }
  Case c;
  const Status read = case_from_json(*document, c);
  if (!read.ok()) return read.error();
  auto bodies = read_bodies(glb.value(), *document);
  if (!bodies.ok()) return bodies.error();
  c.bodies = std::move(bodies).value();
  json known = case_to_json(c);
  known["bodies"] = json::array();
  for (const Body& body : c.bodies) known["bodies"].push_back({{"name", body.name}, {"mesh", 0}, {"sha256", ""}});
  const json kept = unknown_fields(*document, known);
  if (!kept.empty()) c.kept_json = kept.dump();
  return c;
}

}  // namespace intercusp
