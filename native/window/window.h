#pragma once

#include <functional>
#include <string>
#include <vector>

#include "app/host.h"
#include "app/input_queue.h"
#include "base/result.h"

struct GLFWwindow;

namespace intercusp {

/// A desktop window with an OpenGL ES 3.0 context and Dear ImGui's input.
class Window {
 public:
  Window() = default;
  ~Window();
  Window(const Window&) = delete;
  Window& operator=(const Window&) = delete;

  /// Opens the window and makes its context current. Error when there is no display or no OpenGL ES 3.0.
  Status open(const std::string& title);
  /// Ties Dear ImGui's input to the window; needs an ImGui context.
  void connect_input();
  void disconnect_input();

  GLFWwindow* handle() const { return window_; }
  bool closing() const;
  void hide();
  void set_visible_content() const;  ///< shows what was drawn

  /// Input has come that no frame has seen yet.
  bool has_input() const { return !input_.empty(); }
  InputQueue& input() { return input_; }
  /// Sizes and scale now; hands the input since the last frame to Dear ImGui.
  WindowState begin_frame();

  std::function<void()> on_input;                         ///< something happened that may change the picture
  std::function<void(std::vector<std::string>)> on_drop;  ///< paths dropped on the window
  std::function<void()> on_paste;                         ///< Ctrl and V

 private:
  void install_callbacks();
  void hand_over_input();

  GLFWwindow* window_ = nullptr;
  InputQueue input_;
  bool started_ = false;
  bool connected_ = false;
};

}  // namespace intercusp
