#include "window/window.h"

#include <imgui.h>
#include <imgui_impl_glfw.h>

#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>

namespace intercusp {
namespace {

std::string last_problem;

Window& of(GLFWwindow* handle) {
  return *static_cast<Window*>(glfwGetWindowUserPointer(handle));
}

void woke(GLFWwindow* handle) {
  if (of(handle).on_input) of(handle).on_input();
}

/// EGL first: it gives OpenGL ES on every driver; GLX only where the driver has the ES profile.
GLFWwindow* try_contexts(const std::string& title) {
  for (const int api : {GLFW_EGL_CONTEXT_API, GLFW_NATIVE_CONTEXT_API}) {
    glfwDefaultWindowHints();
    glfwWindowHint(GLFW_CLIENT_API, GLFW_OPENGL_ES_API);
    glfwWindowHint(GLFW_CONTEXT_CREATION_API, api);
    glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
    glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 0);
    glfwWindowHint(GLFW_SCALE_TO_MONITOR, GLFW_TRUE);
    if (GLFWwindow* window = glfwCreateWindow(1366, 768, title.c_str(), nullptr, nullptr)) return window;
  }
  return nullptr;
}

}  // namespace

Window::~Window() {
  disconnect_input();
  if (window_) glfwDestroyWindow(window_);
  if (started_) glfwTerminate();
}

Status Window::open(const std::string& title) {
  glfwSetErrorCallback([](int, const char* words) { last_problem = words; });
  if (!glfwInit()) {
    return Error{
        "no window can be opened here (" + last_problem + ")", {}, "start it on a desktop, or use `intercusp serve`"};
  }
  started_ = true;
  window_ = try_contexts(title);
  if (!window_) {
    return Error{
        "the graphics driver gives no OpenGL ES 3.0 (" + last_problem + ")", {}, "update it, or use `intercusp serve`"};
  }
  glfwSetWindowSizeLimits(window_, 640, 480, GLFW_DONT_CARE, GLFW_DONT_CARE);
  glfwMakeContextCurrent(window_);
  glfwSwapInterval(1);
  glfwSetWindowUserPointer(window_, this);
  install_callbacks();
  return Done{};
}

void Window::install_callbacks() {
  glfwSetCursorPosCallback(window_, [](GLFWwindow* w, double, double) { woke(w); });
  glfwSetCursorEnterCallback(window_, [](GLFWwindow* w, int) { woke(w); });
  glfwSetMouseButtonCallback(window_, [](GLFWwindow* w, int, int, int) { woke(w); });
  glfwSetScrollCallback(window_, [](GLFWwindow* w, double, double) { woke(w); });
  glfwSetKeyCallback(window_, [](GLFWwindow* w, int key, int, int action, int modifiers) {
    if (key == GLFW_KEY_Q && action == GLFW_PRESS && (modifiers & GLFW_MOD_CONTROL)) glfwSetWindowShouldClose(w, 1);
    woke(w);
  });
  glfwSetCharCallback(window_, [](GLFWwindow* w, unsigned) { woke(w); });
  glfwSetWindowFocusCallback(window_, [](GLFWwindow* w, int) { woke(w); });
  glfwSetWindowRefreshCallback(window_, [](GLFWwindow* w) { woke(w); });
  glfwSetFramebufferSizeCallback(window_, [](GLFWwindow* w, int, int) { woke(w); });
  glfwSetWindowContentScaleCallback(window_, [](GLFWwindow* w, float, float) { woke(w); });
  glfwSetDropCallback(window_, [](GLFWwindow* w, int count, const char** paths) {
    if (of(w).on_drop) of(w).on_drop({paths, paths + count});
    woke(w);
  });
}

void Window::connect_input() {
  ImGuiIO& io = ImGui::GetIO();
  io.IniFilename = nullptr;
  io.LogFilename = nullptr;
  // Dear ImGui's own callbacks go on to those installed before.
  connected_ = ImGui_ImplGlfw_InitForOpenGL(window_, true);
}

void Window::disconnect_input() {
  if (connected_) ImGui_ImplGlfw_Shutdown();
  connected_ = false;
}

bool Window::closing() const {
  return glfwWindowShouldClose(window_);
}

void Window::hide() {
  glfwHideWindow(window_);
}

void Window::set_visible_content() const {
  glfwSwapBuffers(window_);
}

WindowState Window::begin_frame() {
  ImGui_ImplGlfw_NewFrame();
  WindowState state;
  float scale = 1, scale_y = 1;
  glfwGetFramebufferSize(window_, &state.framebuffer_width, &state.framebuffer_height);
  glfwGetWindowContentScale(window_, &scale, &scale_y);
  state.scale = scale > 0 ? scale : 1;
  state.width = static_cast<float>(state.framebuffer_width) / state.scale;
  state.height = static_cast<float>(state.framebuffer_height) / state.scale;
  state.seconds = glfwGetTime();
  return state;
}

}  // namespace intercusp
