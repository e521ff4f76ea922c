#include "review/first_picture.h"

#include "base/json_read.h"
#include "surgery/coarse_arch.h"

namespace intercusp {

using nlohmann::json;

namespace {

constexpr std::size_t kLargeBody = 30000;  // triangles; less is quickly there whole
constexpr double kCellOfPicture = 1.0;     // mm: cusps are seen, a full arch has some 6,000 triangles

}  // namespace

std::optional<Body> coarse_body(const Body& body) {
  if (!body.surface || body.surface->mesh().triangles.size() < kLargeBody) return std::nullopt;
  Mesh coarse = coarse_arch(body.surface->mesh(), kCellOfPicture);
  if (coarse.triangles.empty() || 2 * coarse.triangles.size() > body.surface->mesh().triangles.size())
    return std::nullopt;
  return make_body(body.name, Surface::make(std::move(coarse)));
}

json with_coarse_forms(const json& stored) {
  json bodies = json::array();
  for (const json& thing : stored)
    if (!flag_at(thing, "coarse").value_or(false)) bodies.push_back(thing);
  for (const json& thing : stored) {
    if (!flag_at(thing, "coarse").value_or(false)) continue;
    for (json& body : bodies) {
      if (body["name"] != thing["name"]) continue;
      for (const char* key : {"pieces", "length", "sha256"}) body["coarse"][key] = thing[key];
    }
  }
  return bodies;
}

}  // namespace intercusp
