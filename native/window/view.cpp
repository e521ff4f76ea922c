#include "window/view.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <deque>
#include <filesystem>
#include <iostream>

#include <imgui.h>

#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>

#include <nlohmann/json.hpp>

#include "app/app.h"
#include "casebook/case_file.h"
#include "practice/set_link.h"
#include "share/server_line.h"
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

/// A link that was given or copied: of a shared case or of a set of questions whole, since it says the server; of a
/// sample what is behind '#'.
Status open_link(App& app, std::string text) {
  const auto ends = text.find_last_not_of(" \t\r\n");
  text.erase(ends == std::string::npos ? 0 : ends + 1);
  text.erase(0, text.find_first_not_of(" \t\r\n"));
  const auto mark = text.find('#');
  if (mark == std::string::npos) return Error{"there is no link here", "", "copy the whole link, then open it"};
  const bool of_a_server = text.compare(mark, 8, "#review=") == 0 || is_set_link(text);
  return app.open_fragment(of_a_server ? text : text.substr(mark + 1));
}

/// When the last messages of a shared case were taken in, ms since 1970: how soon one sees what others do.
class Heard {
 public:
  void now() {
    constexpr std::size_t kMost = 40;
    const auto since = std::chrono::system_clock::now().time_since_epoch();
    at_.push_back(std::chrono::duration_cast<std::chrono::milliseconds>(since).count());
    if (at_.size() > kMost) at_.pop_front();
  }
  const std::deque<std::int64_t>& at() const { return at_; }

 private:
  std::deque<std::int64_t> at_;
};

/// What the server of a shared case told, and a link that was asked for.
void hear_others(App& app, DesktopHost& host, Heard& heard) {
  for (share::LiveReview::Event& told : host.reviews().take()) {
    app.review_event(told.event, std::move(told.bytes));
    heard.now();
  }
  for (const nlohmann::json& answer : host.practice_keys().take()) app.practice_event(answer);
  const std::string copied = host.take_copied_link();
  if (copied.empty()) return;
  const Status opened = open_link(app, copied);
  if (!opened) host.say(opened.error().sentence());
}

Status open_first(App& app, DesktopHost& host, const ViewOptions& options) {
  if (!options.link.empty()) return open_link(app, options.link);
  if (!options.case_path.empty()) return open_path(app, host, options.case_path);
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
  void show(App& app, DesktopHost& host, const Heard& heard) {
    if (path_.empty() || app.wants_frame() || app.busy()) return;
    nlohmann::json state = app.state();
    state["measures"] = app.measures();
    state.erase("frames");
    if (state.contains("review")) state["review"]["heard_at_ms"] = heard.at();
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
  Heard heard;
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
    if (const std::string again = host.take_recent(); !again.empty()) open_paths(app, host, {again});
    hear_others(app, host, heard);
    if (due || draws()) draw(app, window);
    state.show(app, host, heard);
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
  if (!options.server.empty()) {
    const auto address = share::parse_server_address(options.server);
    if (!address) return fail(address.error());
  }
  ImGui::CreateContext();
  DesktopHost host;
  if (!options.server.empty()) host.use_server(options.server);
  host.attach(window.handle());
  int code = 0;
  {
    App app(host);
    window.connect_input();
    app.create_gpu_objects();
    window.on_input = [&] { app.wake(); };
    window.on_paste = [&] {
      if (!ImGui::GetIO().WantTextInput) host.ask_for_copied_link();
    };
    window.on_drop = [&](std::vector<std::string> paths) { open_paths(app, host, std::move(paths)); };
    const Status first = open_first(app, host, options);
    if (first) {
      StateFile state(options.state_path);
      run(app, host, window, state);
      finish(app, window);
    } else {
      code = fail(first.error());
    }
    window.on_input = nullptr;
    window.on_paste = nullptr;
    window.on_drop = nullptr;
  }
  window.disconnect_input();
  ImGui::DestroyContext();
  return code;
}

}  // namespace intercusp
