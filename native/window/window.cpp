#include "window/window.h"

#include <algorithm>
#include <array>
#include <iterator>

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
    glfwWindowHintString(GLFW_X11_CLASS_NAME, "intercusp");  // by which a desktop finds the icon
    glfwWindowHintString(GLFW_X11_INSTANCE_NAME, "intercusp");
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
  glfwSetCursorPosCallback(window_, [](GLFWwindow* w, double x, double y) {
    of(w).input().move(static_cast<float>(x), static_cast<float>(y));
    woke(w);
  });
  glfwSetCursorEnterCallback(window_, [](GLFWwindow* w, int entered) {
    if (!entered) of(w).input().leave();
    woke(w);
  });
  glfwSetMouseButtonCallback(window_, [](GLFWwindow* w, int button, int action, int) {
    of(w).input().button(button, action == GLFW_PRESS);
    woke(w);
  });
  glfwSetScrollCallback(window_, [](GLFWwindow* w, double x, double y) {
    of(w).input().wheel(static_cast<float>(x), static_cast<float>(y));
    woke(w);
  });
  glfwSetKeyCallback(window_, [](GLFWwindow* w, int key, int, int action, int modifiers) {
    if (key == GLFW_KEY_Q && action == GLFW_PRESS && (modifiers & GLFW_MOD_CONTROL)) glfwSetWindowShouldClose(w, 1);
    if (key == GLFW_KEY_V && action == GLFW_PRESS && (modifiers & GLFW_MOD_CONTROL) && of(w).on_paste) of(w).on_paste();
    if (action != GLFW_REPEAT) of(w).input().key(key, action == GLFW_PRESS, 0);
    woke(w);
  });
  glfwSetCharCallback(window_, [](GLFWwindow* w, unsigned code_point) {
    of(w).input().character(code_point);
    woke(w);
  });
  glfwSetWindowFocusCallback(window_, [](GLFWwindow* w, int focused) {
    if (!focused) of(w).input().release_all();
    woke(w);
  });
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
  // Its own callbacks write the state of the moment, and lose what is pressed and released between two frames.
  connected_ = ImGui_ImplGlfw_InitForOpenGL(window_, false);
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

void Window::hand_over_input() {
  ImGuiIO& io = ImGui::GetIO();
  // Clock, size and cursor shape come from the backend; mouse and keys only from the queue.
  const ImVec2 position = io.MousePos;
  std::array<bool, 5> held{};
  std::copy(std::begin(io.MouseDown), std::end(io.MouseDown), held.begin());
  ImGui_ImplGlfw_NewFrame();
  io.MousePos = position;
  std::copy(held.begin(), held.end(), io.MouseDown);
  input_.apply(io);
  // The modifiers that come with a key differ between systems; the keys themselves do not.
  io.KeyShift = io.KeysDown[GLFW_KEY_LEFT_SHIFT] || io.KeysDown[GLFW_KEY_RIGHT_SHIFT];
  io.KeyCtrl = io.KeysDown[GLFW_KEY_LEFT_CONTROL] || io.KeysDown[GLFW_KEY_RIGHT_CONTROL];
  io.KeyAlt = io.KeysDown[GLFW_KEY_LEFT_ALT] || io.KeysDown[GLFW_KEY_RIGHT_ALT];
  io.KeySuper = io.KeysDown[GLFW_KEY_LEFT_SUPER] || io.KeysDown[GLFW_KEY_RIGHT_SUPER];
}

WindowState Window::begin_frame() {
  hand_over_input();
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
