// Pictures of the program for people to look at, made without a screen: an EGL pbuffer on Mesa, a host that keeps what
// it is given, and a script of commands and pointer moves.
//
//     app_shots OUT_DIR [NAME ...]         (no NAME: every picture)
#include <EGL/egl.h>
#include <EGL/eglext.h>
#include <GLES3/gl3.h>
#include <imgui.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "app/app.h"

namespace {

using intercusp::App;
using intercusp::WindowState;
using Bytes = std::vector<std::uint8_t>;

struct ShotHost : intercusp::Host {
  std::map<std::string, std::string> settings;
  void offer_file(const std::string&, const std::string&, const Bytes&) override {}
  void ask_for_files() override {}
  void set_clipboard(const std::string&) override {}
  std::string link_for(const std::string& fragment) override { return "http://localhost:8080/#" + fragment; }
  void keep_work(const std::string&, const Bytes&, const std::string&) override {}
  void keep_setting(const std::string& key, const std::string& value) override { settings[key] = value; }
  std::string setting(const std::string& key) override { return settings[key]; }
  void announce(const std::string&) override {}
};

void fail(const char* words) {
  std::fprintf(stderr, "%s\n", words);
  std::exit(2);
}

/// A GL ES 3.0 context on a pbuffer of the size of the picture.
struct Screen {
  EGLDisplay display = EGL_NO_DISPLAY;
  EGLSurface surface = EGL_NO_SURFACE;
  EGLContext context = EGL_NO_CONTEXT;
  Screen(int width, int height) {
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
  ~Screen() {
    eglMakeCurrent(display, EGL_NO_SURFACE, EGL_NO_SURFACE, EGL_NO_CONTEXT);
    eglDestroyContext(display, context);
    eglDestroySurface(display, surface);
  }
};

void put32(Bytes& out, std::uint32_t v) {
  for (int k = 24; k >= 0; k -= 8) out.push_back(static_cast<std::uint8_t>(v >> k));
}

std::uint32_t crc32(const Bytes& data) {
  std::uint32_t c = ~0u;
  for (const std::uint8_t b : data) {
    c ^= b;
    for (int k = 0; k < 8; ++k) c = (c >> 1) ^ (c & 1 ? 0xEDB88320u : 0);
  }
  return ~c;
}

void chunk(Bytes& png, const char* kind, const Bytes& data) {
  put32(png, static_cast<std::uint32_t>(data.size()));
  Bytes body(kind, kind + 4);
  body.insert(body.end(), data.begin(), data.end());
  png.insert(png.end(), body.begin(), body.end());
  put32(png, crc32(body));
}

// A zlib stream (RFC 1950) of stored blocks: plain, and no library is needed.
Bytes stored(const Bytes& data) {
  Bytes out = {0x78, 0x01};
  std::uint32_t a = 1, b = 0;
  for (std::size_t at = 0; at < data.size(); at += 65535) {
    const std::size_t n = std::min<std::size_t>(65535, data.size() - at);
    const auto low = static_cast<std::uint8_t>(n), high = static_cast<std::uint8_t>(n >> 8);
    out.insert(out.end(), {static_cast<std::uint8_t>(at + n == data.size()), low, high, static_cast<std::uint8_t>(~low),
                           static_cast<std::uint8_t>(~high)});
    out.insert(out.end(), data.begin() + static_cast<std::ptrdiff_t>(at),
               data.begin() + static_cast<std::ptrdiff_t>(at + n));
  }
  for (const std::uint8_t v : data) b = (b + (a = (a + v) % 65521)) % 65521;
  put32(out, (b << 16) | a);
  return out;
}

// What is in the framebuffer, as PNG (ISO/IEC 15948), three bytes a pixel.
void write_png(const std::string& path, int width, int height) {
  Bytes rgba(static_cast<std::size_t>(width) * height * 4), rows;
  glReadPixels(0, 0, width, height, GL_RGBA, GL_UNSIGNED_BYTE, rgba.data());
  for (int y = height - 1; y >= 0; --y) {
    rows.push_back(0);
    for (int x = 0; x < width; ++x) {
      const std::uint8_t* p = &rgba[(static_cast<std::size_t>(y) * width + x) * 4];
      rows.insert(rows.end(), p, p + 3);
    }
  }
  Bytes png = {0x89, 'P', 'N', 'G', '\r', '\n', 0x1a, '\n'}, head;
  put32(head, static_cast<std::uint32_t>(width));
  put32(head, static_cast<std::uint32_t>(height));
  head.insert(head.end(), {8, 2, 0, 0, 0});
  chunk(png, "IHDR", head);
  chunk(png, "IDAT", stored(rows));
  chunk(png, "IEND", {});
  std::ofstream(path, std::ios::binary)
      .write(reinterpret_cast<const char*>(png.data()), static_cast<std::streamsize>(png.size()));
}

/// One program in one window, driven by the script.
class Stage {
 public:
  Stage(int width, int height, float scale, bool dark, bool touch) : screen_(width, height), app_(host_) {
    window_.framebuffer_width = width;
    window_.framebuffer_height = height;
    window_.width = static_cast<float>(width) / scale;
    window_.height = static_cast<float>(height) / scale;
    window_.scale = scale;
    window_.prefers_dark = dark;
    window_.touch = touch;
    app_.create_gpu_objects();
    frames(4);
  }
  void frames(int count) {
    for (int i = 0; i < count; ++i) {
      window_.seconds += 0.1;
      ImGui::GetIO().DisplaySize = {window_.width, window_.height};
      app_.frame(window_);
    }
  }
  nlohmann::json act(const char* name, const nlohmann::json& args = nlohmann::json::object()) {
    const auto r = app_.act(name, args);
    if (!r) std::fprintf(stderr, "%s: %s\n", name, r.error().sentence().c_str());
    frames(3);
    return r ? r.value() : nlohmann::json();
  }
  void point(float x, float y) {
    ImGui::GetIO().MousePos = {x, y};
    frames(1);
  }
  void press(bool down, int button = 0) {
    ImGui::GetIO().MouseDown[button] = down;
    frames(1);
  }
  void drag(float x0, float y0, float x1, float y1, int button = 0) {
    point(x0, y0);
    frames(1);
    press(true, button);
    for (int i = 1; i <= 8; ++i) point(x0 + (x1 - x0) * i / 8, y0 + (y1 - y0) * i / 8);
    press(false, button);
    frames(3);
  }
  void shoot(const std::string& path) {
    frames(3);
    write_png(path, window_.framebuffer_width, window_.framebuffer_height);
    std::printf("%s\n", path.c_str());
  }
  App& app() { return app_; }

 private:
  Screen screen_;
  ShotHost host_;
  App app_;
  WindowState window_;
};

struct Shot {
  const char* name;
  int width, height;
  float scale;
  bool dark, touch;
  std::function<void(Stage&)> script;
};

void oblique(Stage& s) {
  const auto r = s.app().state()["views"][0]["rect"];
  const float x = r[0].get<float>() + 0.5f * r[2].get<float>(), y = r[1].get<float>() + 0.25f * r[3].get<float>();
  s.drag(x, y, x + 70, y + 30, 0);
}

// Takes the handle's forward part in the hand and holds it.
void hold_handle(Stage& s) {
  s.act("view", {{"name", "right"}});
  s.frames(6);
  const auto p = s.act("project", {{"landmark", "11.incisal_edge_mid"}});
  const float x = p["x"].get<float>() + 50, y = p["y"].get<float>();
  s.point(x, y);
  s.press(true);
  for (int i = 1; i <= 10; ++i) s.point(x + 5.0f * static_cast<float>(i), y);
}

const std::vector<Shot>& shots() {
  static const std::vector<Shot> all = {
      {"first", 1366, 768, 1, false, false, [](Stage&) {}},
      {"first_dark", 1366, 768, 1, true, false, [](Stage&) {}},
      {"oblique", 1366, 768, 1, false, false, oblique},
      {"moved", 1366, 768, 1, false, false,
       [](Stage& s) {
         s.act("set_movement", {{"segment", "upper"}, {"forward", 5.0}, {"up", 2.0}, {"left", -1.5}, {"pitch", 2.0}});
         s.act("view", {{"name", "right"}});
       }},
      {"held", 1366, 768, 1, false, false, hold_handle},
      {"clearance", 1366, 768, 1, false, false,
       [](Stage& s) {
         s.act("set_movement", {{"segment", "upper"}, {"forward", 5.0}, {"up", -0.7}});
         s.act("clearance", {{"index", 0}});
       }},
      {"contacts", 1366, 768, 1, false, false,
       [](Stage& s) {
         s.act("contact_map", {{"on", true}});
         s.act("view", {{"name", "upper"}});
       }},
      {"explain", 1366, 768, 1, false, false,
       [](Stage& s) {
         s.act("stop", {{"name", "bite"}});
         s.act("view", {{"name", "right"}});
         s.act("explain", {{"id", "overjet"}});
       }},
      {"records", 1366, 768, 1, false, false,
       [](Stage& s) {
         s.act("remove_landmark", {{"name", "46.buccal_groove"}});
         s.act("pick_landmark", {{"name", "46.buccal_groove"}});
         const auto p = s.act("project", {{"landmark", "46.mesiobuccal_cusp"}});
         if (p.is_object()) s.point(p["x"].get<float>() + 6, p["y"].get<float>() + 4);
       }},
      {"record_layout", 1366, 768, 1, false, false,
       [](Stage& s) {
         s.act("layout", {{"name", "record"}});
       }},
      {"start", 1366, 768, 1, false, false, [](Stage& s) { s.act("home"); }},
      {"share", 1366, 768, 1, true, false, [](Stage& s) { s.act("share_box"); }},
      {"keys", 1366, 768, 1, false, false, [](Stage& s) { s.act("keys"); }},
      {"large", 3840, 2160, 2, false, false, oblique},
      {"medium", 1708, 960, 1.25f, true, false, oblique},
      {"upright", 820, 1180, 1, false, true,
       [](Stage& s) {
         s.act("fold", {{"panel", "left"}, {"open", false}});
       }},
      {"upright_step", 820, 1180, 1, true, true,
       [](Stage& s) {
         s.act("stop", {{"name", "movement"}});
       }},
      {"later", 1366, 768, 1, false, false, [](Stage& s) {
         s.act("stop", {{"name", "cuts"}});
       }}};
  return all;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) fail("usage: app_shots OUT_DIR [NAME ...]");
  for (const Shot& shot : shots()) {
    bool wanted = argc == 2;
    for (int i = 2; i < argc; ++i) wanted |= shot.name == std::string(argv[i]);
    if (!wanted) continue;
    Stage stage(shot.width, shot.height, shot.scale, shot.dark, shot.touch);
    shot.script(stage);
    stage.shoot(std::string(argv[1]) + "/" + shot.name + ".png");
    if (std::getenv("SHOT_STATE")) std::printf("%s\n", stage.app().state().dump(1).c_str());
  }
  return 0;
}
