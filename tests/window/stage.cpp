#include "stage.h"

#include "app/errands/sample_shelf.h"
#include "app/widgets/widgets.h"

#include <EGL/egl.h>
#include <EGL/eglext.h>
#include <GLES3/gl3.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <stdexcept>

#include "formats/png.h"

namespace intercusp::window {

namespace {

void fail(const char* words) {
  std::fprintf(stderr, "%s\n", words);
  std::exit(2);
}

// What is in the framebuffer, as PNG.
void save_picture(const std::string& path, int width, int height) {
  Bytes rgba(static_cast<std::size_t>(width) * height * 4), rgb;
  glReadPixels(0, 0, width, height, GL_RGBA, GL_UNSIGNED_BYTE, rgba.data());
  for (int y = height - 1; y >= 0; --y) {
    for (int x = 0; x < width; ++x) {
      const std::uint8_t* p = &rgba[(static_cast<std::size_t>(y) * width + x) * 4];
      rgb.insert(rgb.end(), p, p + 3);
    }
  }
  const Bytes png = write_png(width, height, rgb);
  std::ofstream(path, std::ios::binary)
      .write(reinterpret_cast<const char*>(png.data()), static_cast<std::streamsize>(png.size()));
}

}  // namespace

// A GL ES 3.0 context on a pbuffer of the size of the picture.
struct Stage::Surface {
  EGLDisplay display = EGL_NO_DISPLAY;
  EGLSurface surface = EGL_NO_SURFACE;
  EGLContext context = EGL_NO_CONTEXT;
  Surface(int width, int height) {
    const auto get = reinterpret_cast<PFNEGLGETPLATFORMDISPLAYEXTPROC>(eglGetProcAddress("eglGetPlatformDisplayEXT"));
    if (get) display = get(EGL_PLATFORM_SURFACELESS_MESA, EGL_DEFAULT_DISPLAY, nullptr);
    if (display == EGL_NO_DISPLAY) display = eglGetDisplay(EGL_DEFAULT_DISPLAY);
    if (!eglInitialize(display, nullptr, nullptr)) fail("no EGL display");
    const EGLint wanted[] = {EGL_SURFACE_TYPE,
                             EGL_PBUFFER_BIT,
                             EGL_RENDERABLE_TYPE,
                             EGL_OPENGL_ES3_BIT,
                             EGL_RED_SIZE,
                             8,
                             EGL_GREEN_SIZE,
                             8,
                             EGL_BLUE_SIZE,
                             8,
                             EGL_ALPHA_SIZE,
                             8,
                             EGL_NONE};
    EGLConfig config = nullptr;
    EGLint count = 0;
    if (!eglChooseConfig(display, wanted, &config, 1, &count) || count == 0) fail("no EGL configuration");
    const EGLint size[] = {EGL_WIDTH, width, EGL_HEIGHT, height, EGL_NONE};
    surface = eglCreatePbufferSurface(display, config, size);
    eglBindAPI(EGL_OPENGL_ES_API);
    const EGLint version[] = {EGL_CONTEXT_CLIENT_VERSION, 3, EGL_NONE};
    context = eglCreateContext(display, config, EGL_NO_CONTEXT, version);
    if (!eglMakeCurrent(display, surface, surface, context)) fail("no GL ES 3.0 context");
  }
  ~Surface() {
    eglMakeCurrent(display, EGL_NO_SURFACE, EGL_NO_SURFACE, EGL_NO_CONTEXT);
    eglDestroyContext(display, context);
    eglDestroySurface(display, surface);
  }
};

std::shared_ptr<SampleShelf> StageHost::sample_shelf() {
  static const auto shelf = std::make_shared<SampleShelf>(12);
  return shelf;
}

Stage::Stage(const StageSize& size, const std::map<std::string, std::string>& settings)
    : surface_(std::make_unique<Surface>(size.width, size.height)) {
  host_.settings = settings;
  app_ = std::make_unique<App>(host_);
  window_.framebuffer_width = size.width;
  window_.framebuffer_height = size.height;
  window_.width = static_cast<float>(size.width) / size.scale;
  window_.height = static_cast<float>(size.height) / size.scale;
  window_.scale = size.scale;
  window_.prefers_dark = size.dark;
  window_.touch = size.touch;
  window_.reduced_motion = true;
  app_->create_gpu_objects();
  frames(4);
}

Stage::~Stage() = default;

std::string Stage::text_with(const std::string& words) {
  frames(3);
  for (const ui::TextMark& m : ui::text_log())
    if (m.words.find(words) != std::string::npos) return m.words;
  return "";
}

void Stage::frames(int count) {
  for (int i = 0; i < count; ++i) {
    window_.seconds += 0.1;
    ImGui::GetIO().DisplaySize = {window_.width, window_.height};
    if (!looked_at_) glEnable(GL_RASTERIZER_DISCARD);
    app_->frame(window_);
    glDisable(GL_RASTERIZER_DISCARD);
  }
}

void Stage::look() {
  if (looked_at_) return;
  looked_at_ = true;
  app_->forget_gpu_objects();  // with them what it holds to be drawn already
  app_->create_gpu_objects();
  frames(2);
}

nlohmann::json Stage::act(const char* name, const nlohmann::json& args) {
  const auto r = app_->act(name, args);
  if (!r) std::fprintf(stderr, "%s: %s\n", name, r.error().sentence().c_str());
  frames(3);
  return r ? r.value() : nlohmann::json();
}

void Stage::point(float x, float y) {
  ImGui::GetIO().MousePos = {x, y};
  frames(1);
}

void Stage::press(bool down, int button) {
  ImGui::GetIO().MouseDown[button] = down;
  frames(1);
}

void Stage::drag(float x0, float y0, float x1, float y1, int button) {
  point(x0, y0);
  frames(1);
  press(true, button);
  for (int i = 1; i <= 8; ++i)
    point(x0 + (x1 - x0) * static_cast<float>(i) / 8, y0 + (y1 - y0) * static_cast<float>(i) / 8);
  press(false, button);
  frames(3);
}

Rect Stage::place_of(const std::string& id) const {
  const auto widgets = state()["widgets"];
  if (!widgets.contains(id)) throw std::runtime_error(id + " is not on screen");
  const auto r = widgets[id];
  return {r[0].get<float>(), r[1].get<float>(), r[2].get<float>(), r[3].get<float>()};
}

void Stage::click(const std::string& id) {
  if (!shows(id)) {
    std::fprintf(stderr, "%s is not on screen\n", id.c_str());
    return;
  }
  const Rect r = place_of(id);
  point(r.x + 0.5f * r.w, r.y + 0.5f * r.h);
  frames(1);
  press(true);
  press(false);
  frames(2);
}

void Stage::shoot(const std::string& path) {
  look();
  frames(3);
  save_picture(path, window_.framebuffer_width, window_.framebuffer_height);
  std::printf("%s\n", path.c_str());
}

}  // namespace intercusp::window
