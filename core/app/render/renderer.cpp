#include "app/render/renderer.h"

#include <algorithm>

#include "app/embedded.h"
#include "base/colour_maps.h"

namespace intercusp {

namespace {

constexpr double kReachMm = 260;  // half the depth range of a view
constexpr int kMapWidth = 256;
constexpr int kCoarse = 2;  // device pixels for one drawn pixel while something moves

GLuint map_texture() {
  const auto image = colour_map_image(kMapWidth);
  GLuint t = 0;
  glGenTextures(1, &t);
  glBindTexture(GL_TEXTURE_2D, t);
  glTexImage2D(GL_TEXTURE_2D, 0, GL_RGBA8, kMapWidth, 2, 0, GL_RGBA, GL_UNSIGNED_BYTE, image.data());
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_NEAREST);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_NEAREST);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_S, GL_CLAMP_TO_EDGE);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_T, GL_CLAMP_TO_EDGE);
  return t;
}

Eigen::Matrix4f view_matrix(const Camera& c, const Pose& patient_from_surface) {
  Pose view = Pose::Identity();
  view.linear() = c.view_from_patient.toRotationMatrix();
  view.translation() = -(view.linear() * c.target);
  return (view * patient_from_surface).matrix().cast<float>();
}

Eigen::Matrix4f clip_matrix(const Camera& c, const Rect& rect) {
  Eigen::Matrix4f m = Eigen::Matrix4f::Zero();
  m(0, 0) = static_cast<float>(rect.h / (rect.w * c.half_height_mm));
  m(1, 1) = static_cast<float>(1.0 / c.half_height_mm);
  m(2, 2) = static_cast<float>(-1.0 / kReachMm);
  m(3, 3) = 1;
  return m;
}

Eigen::Vector4f clip_plane(const DrawnView& view) {
  if (!view.clip) return {0, 0, 0, 1};
  const Vec3 normal = -(view.camera.view_from_patient * view.clip->second);
  const Vec3 point = view.camera.view_from_patient * (view.clip->first - view.camera.target);
  return Vec3(normal).cast<float>().homogeneous().cwiseProduct(Eigen::Vector4f(1, 1, 1, 0)) +
         Eigen::Vector4f(0, 0, 0, static_cast<float>(-normal.dot(point)));
}

/// The views within a picture of fewer pixels.
std::vector<DrawnView> shrunk(std::vector<DrawnView> views, int times) {
  const auto n = static_cast<float>(times);
  for (DrawnView& v : views) v.rect = {v.rect.x / n, v.rect.y / n, v.rect.w / n, v.rect.h / n};
  return views;
}

bool shows(Shown shown, const DrawnBody& body) {
  return shown == Shown::all || (shown == Shown::upper ? body.upper : body.lower);
}

void view_port(const Rect& r, int height) {
  const int x = static_cast<int>(r.x), y = height - static_cast<int>(r.y + r.h);
  const int w = static_cast<int>(r.w), h = static_cast<int>(r.h);
  glViewport(x, y, w, h);
  glScissor(x, y, w, h);
}

void bind_texture(int unit, GLuint texture) {
  glActiveTexture(static_cast<GLenum>(GL_TEXTURE0 + unit));
  glBindTexture(GL_TEXTURE_2D, texture);
}

}  // namespace

namespace {

// Bits of the body's forms, in the order of the names that the renderer gives them.
constexpr unsigned kOpened = 1, kInside = 2, kMapped = 4, kZones = 8, kFresh = 16;
// Bits of the composing forms.
constexpr unsigned kOcclusion = 1, kAnyInside = 2, kSection = 4, kGhost = 8;

}  // namespace

Renderer::Renderer()
    : body_(embedded::kBodyVert, embedded::kBodyFrag, {"OPENED", "INSIDE", "MAPPED", "ZONES", "FRESH"}),
      compose_(embedded::kScreenVert, embedded::kComposeFrag, {"OCCLUSION", "INSIDE", "SECTION", "GHOST"}),
      overlap_(embedded::kScreenVert, embedded::kOverlapFrag, {}),
      picture_(embedded::kScreenVert, embedded::kPictureFrag, {}) {}

void Renderer::create() {
  maps_ = map_texture();
  glGenVertexArrays(1, &empty_array_);
  for (auto& [surface, b] : buffers_) b->upload();
}

std::string Renderer::take_trouble() {
  std::string said;
  for (ProgramForms* forms : {&body_, &compose_, &overlap_, &picture_}) said += forms->take_log();
  return said;
}

void Renderer::build_all() {
  for (ProgramForms* forms : {&body_, &compose_, &overlap_, &picture_}) forms->build_all();
}

void Renderer::destroy() {
  for (auto& [surface, b] : buffers_) b->destroy();
  full_targets_.destroy();
  coarse_targets_.destroy();
  for (ProgramForms* forms : {&body_, &compose_, &overlap_, &picture_}) forms->destroy();
  glDeleteTextures(1, &maps_);
  glDeleteVertexArrays(1, &empty_array_);
  maps_ = empty_array_ = 0;
}

void Renderer::forget() {
  for (auto& [surface, b] : buffers_) b->forget();
  full_targets_.forget();
  coarse_targets_.forget();
  for (ProgramForms* forms : {&body_, &compose_, &overlap_, &picture_}) forms->forget();
  maps_ = empty_array_ = 0;
}

void Renderer::keep_only(const std::vector<SurfacePtr>& surfaces) {
  for (auto it = buffers_.begin(); it != buffers_.end();) {
    const bool used = std::find(surfaces.begin(), surfaces.end(), it->first) != surfaces.end();
    if (!used) it->second->destroy();
    it = used ? std::next(it) : buffers_.erase(it);
  }
}

BodyBuffers& Renderer::buffers(const SurfacePtr& surface, const SurfaceLookPtr& look) {
  auto& held = buffers_[surface];
  if (!held) {
    held = std::make_unique<BodyBuffers>(surface, look);
    held->upload();
  }
  return *held;
}

void Renderer::set_gap(const SurfacePtr& surface, const SurfaceLookPtr& look, const std::vector<float>& gap) {
  buffers(surface, look).set_gap(gap);
}

void Renderer::set_zone(const SurfacePtr& surface, const SurfaceLookPtr& look,
                        const std::vector<std::uint8_t>& painted) {
  buffers(surface, look).set_zone(painted);
}

void Renderer::set_view(Program& program, const DrawnView& view, const Look& look) {
  program.use();
  glUniformMatrix4fv(program.at("clip_from_view"), 1, GL_FALSE, clip_matrix(view.camera, view.rect).data());
  glUniform4fv(program.at("clip_plane"), 1, clip_plane(view).data());
  glUniform1i(program.at("gap_mode"), static_cast<int>(look.gap_mode));
  glUniform1f(program.at("gap_limit"), look.gap_limit_mm);
  glUniform1i(program.at("maps"), 0);
}

namespace {

constexpr int kThicknessMode = 3;  // as the shader has it

// What is printed has no gap to a jaw; it may have its thickness.
void set_thickness_map(Program& program, const Material& material) {
  glUniform1i(program.at("gap_mode"), material.map_mm > 0 ? kThicknessMode : 0);
  if (material.map_mm <= 0) return;
  glUniform1f(program.at("gap_limit"), material.map_mm);
  glUniform1f(program.at("thin_below"), material.thin_mm);
}

}  // namespace

Program& Renderer::body_form(const DrawnBody& b, const Look& look, bool opened) {
  const bool mapped = b.material.printed ? b.material.map_mm > 0 : look.gap_mode != GapMode::none;
  const BodyBuffers& held = buffers(b.surface, b.look);
  return body_.form((opened ? kOpened : 0) | (opened || !b.surface->closed() ? kInside : 0) | (mapped ? kMapped : 0) |
                    (held.has_zone() ? kZones : 0) | (held.has_fresh_faces() ? kFresh : 0));
}

void Renderer::draw_body(const DrawnBody& b, const DrawnView& view, const Look& look, bool ghost) {
  const bool opened = view.clip || (!ghost && (b.trim != Trim::whole || b.opacity < 1));
  Program& program = body_form(b, look, opened);
  set_view(program, view, look);
  if (opened) {
    glUniform1f(program.at("opacity"), b.opacity);
    glUniform1i(program.at("trim"), ghost ? 0 : static_cast<int>(b.trim));
  }
  const Eigen::Matrix4f m = view_matrix(view.camera, ghost ? b.start_pose : b.patient_from_surface);
  glUniformMatrix4fv(program.at("view_from_body"), 1, GL_FALSE, m.data());
  glUniform3fv(program.at("plain_colour"), 1, b.material.plain.data());
  glUniform3fv(program.at("tint"), 1, b.tint.data());
  glUniform1f(program.at("shininess_amount"), b.material.gloss);
  glUniform1f(program.at("behind_mm"), b.material.behind_mm);
  // The two jaws' cuts keep apart where they overlap, and from what is printed to lie between them.
  glUniform1f(program.at("look_scale"), look.scale / static_cast<float>(coarse_ ? kCoarse : 1));
  glUniform1i(program.at("cut_crossed"), b.material.printed ? 1 : 0);
  if (b.material.printed) set_thickness_map(program, b.material);
  if (b.material.printed)
    glUniform3f(program.at("cut_colour"), 0.34f, 0.55f, 0.52f);
  else if (b.lower)
    glUniform3f(program.at("cut_colour"), 0.36f, 0.45f, 0.60f);
  else
    glUniform3f(program.at("cut_colour"), 0.62f, 0.50f, 0.37f);
  // Nobody sees the inside of a whole closed body.
  if (!opened && b.surface->closed())
    glEnable(GL_CULL_FACE);
  else
    glDisable(GL_CULL_FACE);
  buffers(b.surface, b.look).draw(ghost || look.light);
}

void Renderer::draw_bodies(const std::vector<DrawnBody>& bodies, const DrawnView& view, const Look& look, bool ghost,
                           bool see_through) {
  bind_texture(0, maps_);
  for (const DrawnBody& b : bodies)
    if (shows(view.shown, b) && (!ghost || b.moved) && (b.opacity < 1) == see_through) draw_body(b, view, look, ghost);
  glDisable(GL_CULL_FACE);
}

// Leaves, in the stencil, bit 1 or 2 where the section shows the inside of the body of that side: where the first thing
// behind the plane is seen from within.
void Renderer::mark_overlap(const std::vector<DrawnBody>& bodies, const DrawnView& view, const Look& look) {
  glEnable(GL_STENCIL_TEST);
  glColorMask(GL_FALSE, GL_FALSE, GL_FALSE, GL_FALSE);
  for (const int side : {1, 2}) {
    glStencilMask(static_cast<GLuint>(side));
    glStencilFunc(GL_ALWAYS, side, 3);
    glStencilOpSeparate(GL_FRONT, GL_KEEP, GL_KEEP, GL_ZERO);
    glStencilOpSeparate(GL_BACK, GL_KEEP, GL_KEEP, GL_REPLACE);
    for (DrawnBody b : bodies) {
      if (b.overlap_side != side || !shows(view.shown, b)) continue;
      b.opacity = 1;
      draw_body(b, view, look, false);
    }
    glClear(GL_DEPTH_BUFFER_BIT);
  }
  glDisable(GL_CULL_FACE);
  glColorMask(GL_TRUE, GL_TRUE, GL_TRUE, GL_TRUE);
  glStencilMask(3);
  glDisable(GL_STENCIL_TEST);
}

void Renderer::fill_overlap() {
  glEnable(GL_STENCIL_TEST);
  glDisable(GL_DEPTH_TEST);
  glStencilFunc(GL_EQUAL, 3, 3);
  glStencilOp(GL_KEEP, GL_KEEP, GL_KEEP);
  overlap_.form(0).use();
  glBindVertexArray(empty_array_);
  glDrawArrays(GL_TRIANGLES, 0, 3);
  glBindVertexArray(0);
  glEnable(GL_DEPTH_TEST);
  glDisable(GL_STENCIL_TEST);
}

void Renderer::compose(const DrawnView& view, const Look& look, bool inside_seen) {
  const float w = static_cast<float>(targets().width()), h = static_cast<float>(targets().height());
  const Rect& r = view.rect;
  Program& program = compose_.form((look.moving ? 0 : kOcclusion) | (inside_seen ? kAnyInside : 0) |
                                   (view.clip ? kSection : 0) | (look.ghost_shown ? kGhost : 0));
  program.use();
  bind_texture(0, targets().colour());
  bind_texture(1, targets().depth());
  bind_texture(2, targets().ghost_depth());
  glUniform1i(program.at("scene_colour"), 0);
  glUniform1i(program.at("scene_depth"), 1);
  glUniform1i(program.at("ghost_depth"), 2);
  glUniform4f(program.at("window"), r.x / w, (h - r.y - r.h) / h, r.w / w, r.h / h);
  glUniform2f(program.at("texel"), 1 / w, 1 / h);
  glUniform1f(program.at("depth_mm"), static_cast<float>(2 * kReachMm));
  glUniform1f(program.at("px_per_mm"), static_cast<float>(0.5 * r.h / view.camera.half_height_mm));
  glUniform1f(program.at("line_px"), std::max(1.0f, look.scale));
  glUniform3fv(program.at("ghost_colour"), 1, look.ghost.data());
  glUniform3fv(program.at("background_top"), 1, look.background_top.data());
  glUniform3fv(program.at("background_bottom"), 1, look.background_bottom.data());
  glBindVertexArray(empty_array_);
  glDrawArrays(GL_TRIANGLES, 0, 3);
}

void Renderer::draw_scene(const std::vector<DrawnBody>& bodies, const std::vector<DrawnView>& views, const Look& look,
                          bool ghost) {
  glDisable(GL_SCISSOR_TEST);
  glStencilMask(3);
  glClear(ghost ? GL_DEPTH_BUFFER_BIT : GL_COLOR_BUFFER_BIT | GL_DEPTH_BUFFER_BIT | GL_STENCIL_BUFFER_BIT);
  glEnable(GL_SCISSOR_TEST);
  for (const DrawnView& v : views) {
    view_port(v.rect, targets().height());
    if (v.clip && !ghost) mark_overlap(bodies, v, look);
    draw_bodies(bodies, v, look, ghost, false);
    if (ghost) {
      draw_bodies(bodies, v, look, true, true);
      continue;
    }
    // See-through bodies last, over what stands behind them.
    glEnable(GL_BLEND);
    glBlendFunc(GL_ONE, GL_ONE_MINUS_SRC_ALPHA);
    glDepthMask(GL_FALSE);
    draw_bodies(bodies, v, look, false, true);
    glDepthMask(GL_TRUE);
    glDisable(GL_BLEND);
    if (v.clip) fill_overlap();
  }
}

void Renderer::draw(const std::vector<DrawnBody>& bodies, const std::vector<DrawnView>& views, const Look& look,
                    int width, int height) {
  coarse_ = look.moving;
  const int times = coarse_ ? kCoarse : 1;
  Targets& to = coarse_ ? coarse_targets_ : full_targets_;
  to.fit(std::max(1, width / times), std::max(1, height / times), look.multisample && !coarse_ ? 4 : 1);
  const std::vector<DrawnView> drawn = shrunk(views, times);
  glEnable(GL_DEPTH_TEST);
  glDisable(GL_BLEND);
  glDisable(GL_CULL_FACE);
  glDepthMask(GL_TRUE);
  glColorMask(GL_TRUE, GL_TRUE, GL_TRUE, GL_TRUE);
  glClearColor(0, 0, 0, 0);
  to.begin_scene();
  draw_scene(bodies, drawn, look, false);
  if (look.ghost_shown) {
    to.begin_ghost();
    draw_scene(bodies, drawn, look, true);
  }
  glDisable(GL_SCISSOR_TEST);  // a blit heeds the scissor
  to.finish_scene();
  to.begin_picture();
  glDisable(GL_DEPTH_TEST);
  glClearColor(look.background_bottom.x(), look.background_bottom.y(), look.background_bottom.z(), 1);
  glClear(GL_COLOR_BUFFER_BIT);
  glEnable(GL_SCISSOR_TEST);
  const bool inside_seen = std::any_of(bodies.begin(), bodies.end(), [](const DrawnBody& b) {
    return !b.surface->closed() || b.opacity < 1 || b.trim != Trim::whole;
  });
  for (const DrawnView& v : drawn) {
    view_port(v.rect, to.height());
    compose(v, look, inside_seen);
  }
  glDisable(GL_SCISSOR_TEST);
}

void Renderer::show(int x, int y, int width, int height, int window_height) {
  glDisable(GL_SCISSOR_TEST);
  put(targets().picture(), x, window_height - y - height, width, height);
}

void Renderer::put(GLuint texture, int x, int y, int width, int height) {
  glDisable(GL_DEPTH_TEST);
  glDisable(GL_BLEND);
  glViewport(x, y, width, height);
  Program& program = picture_.form(0);
  program.use();
  bind_texture(0, texture);
  glUniform1i(program.at("picture"), 0);
  glBindVertexArray(empty_array_);
  glDrawArrays(GL_TRIANGLES, 0, 3);
  glBindVertexArray(0);
}

RgbPicture read_bound_framebuffer(int x, int y, int width, int height) {
  RgbPicture out;
  out.width = width;
  out.height = height;
  std::vector<std::uint8_t> rgba(static_cast<std::size_t>(width) * height * 4);
  glReadPixels(x, y, width, height, GL_RGBA, GL_UNSIGNED_BYTE, rgba.data());
  out.rgb.reserve(static_cast<std::size_t>(width) * height * 3);
  for (int row = height - 1; row >= 0; --row) {
    for (int column = 0; column < width; ++column) {
      const std::uint8_t* p = &rgba[(static_cast<std::size_t>(row) * width + column) * 4];
      out.rgb.insert(out.rgb.end(), p, p + 3);
    }
  }
  return out;
}

RgbPicture Renderer::read_picture(const Rect& part) const {
  const Targets& from = targets();
  const int x = std::max(0, static_cast<int>(part.x)), y = std::max(0, static_cast<int>(part.y));
  const int width = std::min(static_cast<int>(part.w), from.width() - x);
  const int height = std::min(static_cast<int>(part.h), from.height() - y);
  if (!from.picture() || width <= 0 || height <= 0) return {};
  from.begin_picture();
  RgbPicture out = read_bound_framebuffer(x, from.height() - y - height, width, height);
  glBindFramebuffer(GL_FRAMEBUFFER, 0);
  return out;
}

}  // namespace intercusp
