#include "window/view.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <iostream>

#include <imgui.h>

#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>

#include <nlohmann/json.hpp>

#include "app/app.h"
#include "casebook/case_file.h"
#include "window/desktop_host.h"
#include "window/window.h"

namespace intercusp {
namespace {

namespace fs = std::filesystem;

constexpr double kBusySeconds = 0.1;  // between looks at what is done beside the screen

int fail(const Error& error) {
  std::cerr << "intercusp view: " << error.sentence() << "\n";
  return 2;
}

/// What the program was started on; it is there when the window is first drawn.
Status open_path(App& app, DesktopHost& host, const std::string& path) {
  Result<std::vector<std::uint8_t>> bytes = read_file(path);
  if (!bytes) return bytes.error();
  Status opened = app.open_file(fs::path(path).filename().string(), std::move(bytes).value());
  if (opened && fs::path(path).extension() == ".glb") host.set_case_path(fs::absolute(path).string());
  return opened;
}

/// Cases first, then scans, then landmarks, which need the scans to be there.
int opening_rank(const std::string& path) {
  const std::string extension = fs::path(path).extension().string();
  return extension == ".glb" ? 0 : extension == ".json" ? 2 : 1;
}

void open_paths(App& app, DesktopHost& host, std::vector<std::string> paths) {
  std::stable_sort(paths.begin(), paths.end(),
                   [](const auto& a, const auto& b) { return opening_rank(a) < opening_rank(b); });
  for (const std::string& path : paths) {
    Result<std::vector<std::uint8_t>> bytes = read_file(path);
    if (!bytes) {
      host.say(bytes.error().sentence());
      continue;
    }
    app.open_by_hand(fs::path(path).filename().string(), std::move(bytes).value(), [&host, path] {
      if (fs::path(path).extension() == ".glb") host.set_case_path(fs::absolute(path).string());
    });
  }
  app.wake();
}

Status open_first(App& app, DesktopHost& host, const std::string& case_path) {
  if (!case_path.empty()) return open_path(app, host, case_path);
  if (const auto kept = host.work().latest()) {
    const Status restored = app.restore(kept->case_bytes, kept->view_json);
    if (!restored) host.say("The work kept from last time could not be opened: " + restored.error().sentence());
  }
  return Done{};
}

/// Writes what the window shows whenever it has come to rest on something else, for scripts and aids that read the
/// screen.
class StateFile {
 public:
  explicit StateFile(std::string path) : path_(std::move(path)) {}
  void show(App& app, DesktopHost& host) {
    if (path_.empty() || app.wants_frame() || app.busy()) return;
    nlohmann::json state = app.state();
    state["measures"] = app.measures();
    state.erase("frames");
    std::string text = state.dump();
    if (text == last_) return;
    last_ = std::move(text);
    const Status written = save_atomically(path_, {last_.begin(), last_.end()}, true);
    if (written) return;
    host.say(written.error().sentence());
    path_.clear();
  }

 private:
  std::string path_, last_;
};

void draw(App& app, Window& window) {
  const WindowState state = window.begin_frame();
  app.frame(state);
  window.set_visible_content();
}

/// Sleeps until something happens, or until a frame is due (a minimised window shows none): then true.
bool wait_for_frame(App& app, bool minimised) {
  const bool busy = app.busy();
  const double due = std::min(minimised ? HUGE_VAL : app.next_frame_in(), busy ? kBusySeconds : HUGE_VAL);
  if (std::isinf(due)) {
    glfwWaitEvents();
    return false;
  }
  const double begin = glfwGetTime();
  glfwWaitEventsTimeout(std::max(due, 1e-3));
  return !minimised && (busy || glfwGetTime() - begin >= due);
}

/// Draws while something changes, else sleeps until something happens.
void run(App& app, DesktopHost& host, Window& window, StateFile& state) {
  while (!window.closing()) {
    const auto minimised = [&] { return glfwGetWindowAttrib(window.handle(), GLFW_ICONIFIED) != 0; };
    const auto draws = [&] { return !minimised() && (app.wants_frame() || window.has_input()); };
    bool due = false;
    if (draws())
      glfwPollEvents();
    else
      due = wait_for_frame(app, minimised());
    const std::vector<std::string> chosen = host.dialog().take();
    if (!chosen.empty()) open_paths(app, host, chosen);
    if (due || draws()) draw(app, window);
    state.show(app, host);
  }
}

/// What changed last may wait to be kept: a few more frames, out of sight.
void finish(App& app, Window& window) {
  window.hide();
  const double until = glfwGetTime() + 3;
  while ((app.wants_frame() || app.busy() || app.keeping()) && glfwGetTime() < until) draw(app, window);
}

}  // namespace

int run_view(const ViewOptions& options) {
  Window window;
  const Status opened = window.open("Intercusp");
  if (!opened) return fail(opened.error());
  ImGui::CreateContext();
  DesktopHost host;
  host.attach(window.handle());
  int code = 0;
  {
    App app(host);
    window.connect_input();
    app.create_gpu_objects();
    window.on_input = [&] { app.wake(); };
    window.on_drop = [&](std::vector<std::string> paths) { open_paths(app, host, std::move(paths)); };
    const Status first = open_first(app, host, options.case_path);
    if (first) {
      StateFile state(options.state_path);
      run(app, host, window, state);
      finish(app, window);
    } else {
      code = fail(first.error());
    }
    window.on_input = nullptr;
    window.on_drop = nullptr;
  }
  window.disconnect_input();
  ImGui::DestroyContext();
  return code;
}

}  // namespace intercusp
