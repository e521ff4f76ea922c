#pragma once

#include <imgui.h>

#include <map>
#include <memory>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "app/app.h"
#include "app/view/camera.h"
#include "base/base64.h"

namespace intercusp::window {

using Bytes = std::vector<std::uint8_t>;

/// A host that keeps what it is given.
struct StageHost : Host {
  std::map<std::string, std::string> settings;
  std::map<std::string, Bytes> offered;  ///< files handed out, by name
  std::string clipboard;
  void offer_file(const std::string& name, const std::string&, const Bytes& bytes) override { offered[name] = bytes; }
  void ask_for_files() override {}
  std::vector<std::string> recent;  ///< cases opened lately
  std::string recent_asked;
  std::vector<std::string> recent_files() override { return recent; }
  void open_recent(const std::string& path) override { recent_asked = path; }
  bool forgotten = false;
  bool can_forget() const override { return true; }
  void forget_everything() override { forgotten = true; }
  void set_clipboard(const std::string& text) override { clipboard = text; }
  std::string link_for(const std::string& fragment) override { return "http://localhost:8080/#" + fragment; }
  void keep_work(const std::string&, const Bytes&, const std::string&) override {}
  void keep_setting(const std::string& key, const std::string& value) override { settings[key] = value; }
  std::string setting(const std::string& key) override { return settings[key]; }
  void announce(const std::string&) override {}
  /// One for all stages: most tests open one of a few samples, and making it takes most of their time.
  std::shared_ptr<SampleShelf> sample_shelf() override;
  std::vector<nlohmann::json> asked;  ///< of a review, in order
  std::uint64_t stamps = 0;
  bool review(const nlohmann::json& request, const Bytes&) override {
    asked.push_back(request);
    return true;
  }
  std::vector<nlohmann::json> practice_asked;  ///< of practice, in order; a test answers through App::practice_event
  bool has_keys = true;
  bool practice(const nlohmann::json& request) override {
    practice_asked.push_back(request);
    return has_keys;
  }
  HostStamp stamp() override {
    std::string bytes(16, '\x7f');
    ++stamps;
    for (int i = 0; i < 8; ++i) bytes[static_cast<std::size_t>(i)] = static_cast<char>(stamps >> (8 * i));
    return {base64url(bytes), 1770000000000 + static_cast<std::int64_t>(stamps)};
  }
};

struct StageSize {
  int width, height;  ///< device pixels
  float scale = 1;
  bool dark = false, touch = false;
};

/// One program in one window without a screen (Mesa's surfaceless EGL), driven by commands and pointer moves. Places
/// are logical pixels.
class Stage {
 public:
  /// `settings` is what the host remembers from earlier visits.
  explicit Stage(const StageSize& size, const std::map<std::string, std::string>& settings = {{"tried", "yes"}});
  ~Stage();
  void frames(int count);
  /// From here on pixels are drawn, for tests that read them. Until then only the layout is made: software takes longer
  /// over the pixels than the program over everything else.
  void look();
  /// The first text on screen, after a few frames, that holds these words; empty when there is none.
  std::string text_with(const std::string& words);
  /// Runs a command; complains on standard error when it is refused.
  nlohmann::json act(const char* name, const nlohmann::json& args = nlohmann::json::object());
  void point(float x, float y);
  void press(bool down, int button = 0);
  void drag(float x0, float y0, float x1, float y1, int button = 0);
  /// A press and a release in the middle of a control, by its id in state()["widgets"].
  void click(const std::string& id);
  /// What is in the framebuffer, as PNG.
  void shoot(const std::string& path);
  /// Whether a control is on screen, and where; the place of one that is not ends the test.
  bool shows(const std::string& id) const { return state()["widgets"].contains(id); }
  Rect place_of(const std::string& id) const;
  nlohmann::json state() const { return app_->state(); }
  App& app() { return *app_; }
  StageHost& host() { return host_; }
  const WindowState& window() const { return window_; }

 private:
  struct Surface;
  std::unique_ptr<Surface> surface_;
  StageHost host_;
  std::unique_ptr<App> app_;
  WindowState window_;
  bool looked_at_ = false;
};

}  // namespace intercusp::window
