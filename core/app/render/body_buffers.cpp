#include "app/render/body_buffers.h"

#include <cmath>
#include <cstddef>

namespace intercusp {

namespace {

constexpr float kOutOfReach = 1.0e3f;

struct Vertex {
  float position[3];
  std::int8_t normal[4];
  std::uint8_t colour[4];
  float cavity;
};

std::int8_t packed(float v) {
  return static_cast<std::int8_t>(std::lround(std::max(-1.0f, std::min(1.0f, v)) * 127));
}

// At both ends of the scale, so that between corners that differ nothing reaches either.
std::int8_t opened(const SurfaceLook& look, std::size_t i) {
  return look.opened.empty() ? std::int8_t{0} : static_cast<std::int8_t>(127 * static_cast<int>(look.opened[i]));
}

std::vector<Vertex> packed_vertices(const Surface& s, const SurfaceLook& look) {
  const Mesh& mesh = s.mesh();
  std::vector<Vertex> out(mesh.positions.size());
  for (std::size_t i = 0; i < out.size(); ++i) {
    const Vec3f& p = mesh.positions[i];
    const Vec3f& n = s.normals()[i];
    const Colour c = mesh.colours.empty() ? Colour{0, 0, 0, 0} : mesh.colours[i];
    out[i] = {{p.x(), p.y(), p.z()},
              {packed(n.x()), packed(n.y()), packed(n.z()), opened(look, i)},
              {c[0], c[1], c[2], c[3]},
              2 * look.cavity[i] - 1};
  }
  return out;
}

void attribute(GLuint place, GLint size, GLenum type, GLboolean scaled, std::size_t offset) {
  glEnableVertexAttribArray(place);
  glVertexAttribPointer(place, size, type, scaled, sizeof(Vertex), reinterpret_cast<const void*>(offset));
}

GLuint index_buffer(const std::uint32_t* data, std::size_t count) {
  GLuint buffer = 0;
  glGenBuffers(1, &buffer);
  glBindBuffer(GL_ELEMENT_ARRAY_BUFFER, buffer);
  glBufferData(GL_ELEMENT_ARRAY_BUFFER, static_cast<GLsizeiptr>(count * sizeof(std::uint32_t)), data, GL_STATIC_DRAW);
  return buffer;
}

}  // namespace

void BodyBuffers::upload() {
  const Mesh& mesh = surface_->mesh();
  glGenVertexArrays(1, &array_);
  glBindVertexArray(array_);
  const auto vertices = packed_vertices(*surface_, *look_);
  glGenBuffers(1, &vertices_);
  glBindBuffer(GL_ARRAY_BUFFER, vertices_);
  glBufferData(GL_ARRAY_BUFFER, static_cast<GLsizeiptr>(vertices.size() * sizeof(Vertex)), vertices.data(),
               GL_STATIC_DRAW);
  attribute(0, 3, GL_FLOAT, GL_FALSE, offsetof(Vertex, position));
  attribute(1, 3, GL_BYTE, GL_TRUE, offsetof(Vertex, normal));
  attribute(2, 4, GL_UNSIGNED_BYTE, GL_TRUE, offsetof(Vertex, colour));
  attribute(3, 1, GL_FLOAT, GL_FALSE, offsetof(Vertex, cavity));
  attribute(6, 1, GL_BYTE, GL_TRUE, offsetof(Vertex, normal) + 3);
  indices_ = index_buffer(mesh.triangles.front().data(), mesh.triangles.size() * 3);
  count_ = static_cast<GLsizei>(mesh.triangles.size() * 3);
  light_indices_ = index_buffer(look_->light_indices.data(), look_->light_indices.size());
  light_count_ = static_cast<GLsizei>(look_->light_indices.size());
  glBindVertexArray(0);
  set_gap({});
}

void BodyBuffers::destroy() {
  const GLuint buffers[] = {vertices_, gap_, zone_, indices_, light_indices_};
  for (GLuint b : buffers)
    if (b) glDeleteBuffers(1, &b);
  if (array_) glDeleteVertexArrays(1, &array_);
  forget();
}

void BodyBuffers::forget() {
  array_ = vertices_ = gap_ = zone_ = indices_ = light_indices_ = 0;
  count_ = light_count_ = 0;
  zoned_ = false;
}

void BodyBuffers::set_gap(const std::vector<float>& gap) {
  glBindVertexArray(array_);
  if (gap.empty()) {
    glDisableVertexAttribArray(4);
    glVertexAttrib1f(4, kOutOfReach);
    glBindVertexArray(0);
    return;
  }
  std::vector<float> sent(gap);
  for (float& g : sent)
    if (std::isnan(g)) g = kOutOfReach;
  if (!gap_) glGenBuffers(1, &gap_);
  glBindBuffer(GL_ARRAY_BUFFER, gap_);
  glBufferData(GL_ARRAY_BUFFER, static_cast<GLsizeiptr>(sent.size() * sizeof(float)), sent.data(), GL_STREAM_DRAW);
  glEnableVertexAttribArray(4);
  glVertexAttribPointer(4, 1, GL_FLOAT, GL_FALSE, 0, nullptr);
  glBindVertexArray(0);
}

void BodyBuffers::set_zone(const std::vector<std::uint8_t>& painted) {
  glBindVertexArray(array_);
  zoned_ = !painted.empty();
  if (!zoned_) {
    glDisableVertexAttribArray(5);
  } else {
    std::vector<float> sent(painted.begin(), painted.end());
    if (!zone_) glGenBuffers(1, &zone_);
    glBindBuffer(GL_ARRAY_BUFFER, zone_);
    glBufferData(GL_ARRAY_BUFFER, static_cast<GLsizeiptr>(sent.size() * sizeof(float)), sent.data(), GL_STREAM_DRAW);
    glEnableVertexAttribArray(5);
    glVertexAttribPointer(5, 1, GL_FLOAT, GL_FALSE, 0, nullptr);
  }
  glBindVertexArray(0);
}

void BodyBuffers::draw(bool light) {
  glBindVertexArray(array_);
  glVertexAttrib1f(4, kOutOfReach);
  glVertexAttrib1f(5, 0);
  glBindBuffer(GL_ELEMENT_ARRAY_BUFFER, light ? light_indices_ : indices_);
  glDrawElements(GL_TRIANGLES, light ? light_count_ : count_, GL_UNSIGNED_INT, nullptr);
  glBindVertexArray(0);
}

std::size_t BodyBuffers::triangles(bool light) const {
  return static_cast<std::size_t>(light ? light_count_ : count_) / 3;
}

}  // namespace intercusp
