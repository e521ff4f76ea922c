// The web page's side of the program: WebGL 2 context, window state, input, and the functions that page/program.js
// calls. Texts come as UTF-8 with their length and go out as zero-ended UTF-8 that stays valid until the next call.
#include <cmath>
#include <cstdlib>
#include <memory>

#include <emscripten/emscripten.h>
#include <emscripten/html5.h>
#include <imgui.h>

#include <nlohmann/json.hpp>

#include "app/app.h"
#include "app/input_queue.h"
#include "app/widgets/tab_order.h"
#include "web_host.h"

namespace intercusp {
namespace {

/// The one program of this page.
struct Page {
  WebHost host;
  std::unique_ptr<App> app;
  InputQueue input;
  WindowState window;
  EMSCRIPTEN_WEBGL_CONTEXT_HANDLE context = 0;
  std::string clipboard;  ///< what Ctrl+C in a text field gave and Ctrl+V takes
  std::string answer;     ///< keeps the last text handed to JavaScript alive
  std::vector<std::uint8_t> saved;
  double last_seconds = 0;
};

Page& page() {
  static Page the_page;
  return the_page;
}

const char* answer(const nlohmann::json& value) {
  page().answer = value.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
  return page().answer.c_str();
}

const char* answer(const Status& status) {
  if (status) return answer(nlohmann::json{{"ok", true}});
  return answer(nlohmann::json{{"ok", false}, {"error", status.error().sentence()}});
}

bool make_context() {
  EmscriptenWebGLContextAttributes wanted;
  emscripten_webgl_init_context_attributes(&wanted);
  wanted.majorVersion = 2;
  wanted.minorVersion = 0;
  wanted.alpha = false;
  wanted.depth = true;
  wanted.stencil = false;
  wanted.antialias = false;  // the renderer draws the model into a multisampled target of its own
  wanted.powerPreference = EM_WEBGL_POWER_PREFERENCE_HIGH_PERFORMANCE;
  page().context = emscripten_webgl_create_context("#view", &wanted);
  return page().context > 0 && emscripten_webgl_make_context_current(page().context) == EMSCRIPTEN_RESULT_SUCCESS;
}

/// Key codes are those of the desktop build, so that panels ask for a key in one way.
void name_keys(ImGuiIO& io) {
  const std::pair<ImGuiKey, int> keys[] = {
      {ImGuiKey_Tab, 258},       {ImGuiKey_LeftArrow, 263}, {ImGuiKey_RightArrow, 262}, {ImGuiKey_UpArrow, 265},
      {ImGuiKey_DownArrow, 264}, {ImGuiKey_PageUp, 266},    {ImGuiKey_PageDown, 267},   {ImGuiKey_Home, 268},
      {ImGuiKey_End, 269},       {ImGuiKey_Insert, 260},    {ImGuiKey_Delete, 261},     {ImGuiKey_Backspace, 259},
      {ImGuiKey_Space, ' '},     {ImGuiKey_Enter, 257},     {ImGuiKey_Escape, 256},     {ImGuiKey_KeyPadEnter, 335},
      {ImGuiKey_A, 'A'},         {ImGuiKey_C, 'C'},         {ImGuiKey_V, 'V'},          {ImGuiKey_X, 'X'},
      {ImGuiKey_Y, 'Y'},         {ImGuiKey_Z, 'Z'}};
  for (const auto& [key, code] : keys) io.KeyMap[key] = code;
}

void set_up_input() {
  ImGuiIO& io = ImGui::GetIO();
  io.BackendPlatformName = "intercusp_web";
  io.BackendFlags |= ImGuiBackendFlags_HasMouseCursors;
  io.IniFilename = nullptr;
  io.LogFilename = nullptr;
  name_keys(io);
  io.SetClipboardTextFn = [](void*, const char* text) {
    page().clipboard = text;
    page().host.set_clipboard(text);
  };
  io.GetClipboardTextFn = [](void*) { return page().clipboard.c_str(); };
}

/// What the page must do after a frame, in bits: 1 another frame, 2 raise the text input, 4 look again soon, since
/// something is being done beside the screen; the mouse cursor from bit 8.
int wishes() {
  const ImGuiIO& io = ImGui::GetIO();
  int bits = 0;
  if (page().app->wants_frame() || !page().input.empty()) bits |= 1;
  if (io.WantTextInput) bits |= 2;
  if (page().app->busy()) bits |= 4;
  const int cursor = ImGui::GetMouseCursor();
  return bits | ((cursor + 1) << 8);
}

std::string text_of(const char* bytes, int size) {
  return std::string(bytes, static_cast<std::size_t>(size));
}

}  // namespace
}  // namespace intercusp

using namespace intercusp;

extern "C" {

/// Makes the context and the program. 0 when this browser gives no WebGL 2.
EMSCRIPTEN_KEEPALIVE int ic_start() {
  if (!make_context()) return 0;
  ImGui::CreateContext();
  page().app = std::make_unique<App>(page().host);
  set_up_input();
  page().app->create_gpu_objects();
  return 1;
}

EMSCRIPTEN_KEEPALIVE void ic_context_lost() {
  page().app->forget_gpu_objects();
}

EMSCRIPTEN_KEEPALIVE void ic_context_restored() {
  emscripten_webgl_make_context_current(page().context);
  page().app->create_gpu_objects();
  page().app->wake();
}

EMSCRIPTEN_KEEPALIVE void ic_window(int framebuffer_width, int framebuffer_height, float width, float height,
                                    float scale) {
  WindowState& window = page().window;
  window.framebuffer_width = framebuffer_width;
  window.framebuffer_height = framebuffer_height;
  window.width = width;
  window.height = height;
  window.scale = scale;
  page().app->wake();
}

EMSCRIPTEN_KEEPALIVE void ic_preferences(int dark, int reduced_motion) {
  page().window.prefers_dark = dark != 0;
  page().window.reduced_motion = reduced_motion != 0;
  page().app->wake();
}

EMSCRIPTEN_KEEPALIVE int ic_frame(double seconds) {
  Page& p = page();
  ImGuiIO& io = ImGui::GetIO();
  p.window.seconds = seconds;
  io.DisplaySize = ImVec2(p.window.width, p.window.height);
  io.DisplayFramebufferScale = ImVec2(p.window.scale, p.window.scale);
  io.DeltaTime = static_cast<float>(std::max(1e-4, seconds - p.last_seconds));
  p.last_seconds = seconds;
  p.input.apply(io);
  p.app->frame(p.window);
  return wishes();
}

EMSCRIPTEN_KEEPALIVE int ic_wants_frame() {
  return page().app->wants_frame() || !page().input.empty() ? 1 : 0;
}
/// Milliseconds until a frame is needed though nothing happens before; -1 when none is.
EMSCRIPTEN_KEEPALIVE double ic_next_frame_in() {
  const double wait = page().app->next_frame_in();
  return std::isfinite(wait) ? 1000 * wait : -1;
}
EMSCRIPTEN_KEEPALIVE int ic_busy() {
  return page().app->busy() ? 1 : 0;
}
EMSCRIPTEN_KEEPALIVE int ic_has_case() {
  return page().app->has_case() ? 1 : 0;
}
EMSCRIPTEN_KEEPALIVE int ic_keeping() {
  return page().app->keeping() ? 1 : 0;
}

EMSCRIPTEN_KEEPALIVE void ic_pointer_kind(int touch) {
  page().window.touch = touch != 0;
}
EMSCRIPTEN_KEEPALIVE void ic_move(float x, float y) {
  page().input.move(x, y);
}
EMSCRIPTEN_KEEPALIVE void ic_leave() {
  page().input.leave();
}
EMSCRIPTEN_KEEPALIVE void ic_button(int which, int down) {
  page().input.button(which, down != 0);
}
EMSCRIPTEN_KEEPALIVE void ic_wheel(float horizontal, float vertical) {
  page().input.wheel(horizontal, vertical);
}
EMSCRIPTEN_KEEPALIVE void ic_barrier() {
  page().input.barrier();
}
EMSCRIPTEN_KEEPALIVE void ic_key(int code, int down, unsigned modifiers) {
  page().input.key(code, down != 0, modifiers);
}
EMSCRIPTEN_KEEPALIVE void ic_text(const char* bytes, int size) {
  page().input.text(text_of(bytes, size));
}
EMSCRIPTEN_KEEPALIVE void ic_release_all() {
  page().input.release_all();
}
/// 1 while Shift+Tab has a control to go back to.
EMSCRIPTEN_KEEPALIVE int ic_tab_goes_back() {
  return intercusp::ui::tab_goes_back() ? 1 : 0;
}
EMSCRIPTEN_KEEPALIVE void ic_clipboard(const char* bytes, int size) {
  page().clipboard = text_of(bytes, size);
}

/// Memory for bytes coming in; 0 when there is no more.
EMSCRIPTEN_KEEPALIVE void* ic_alloc(std::size_t size) {
  return std::malloc(size);
}
EMSCRIPTEN_KEEPALIVE void ic_free(void* memory) {
  std::free(memory);
}

EMSCRIPTEN_KEEPALIVE const char* ic_open(const char* name, int name_size, const std::uint8_t* bytes, std::size_t size) {
  const char* result = answer(page().app->open_file(text_of(name, name_size), {bytes, bytes + size}));
  page().app->wake();
  return result;
}

/// A file that the page holds under a number, opened beside the screen.
EMSCRIPTEN_KEEPALIVE void ic_open_held(int number, const char* name, int name_size) {
  page().app->open_held_by_host(text_of(name, name_size), static_cast<std::uint64_t>(number));
}

EMSCRIPTEN_KEEPALIVE void ic_errand_answer(const std::uint8_t* bytes, std::size_t size) {
  page().host.runner().receive(bytes, size);
  page().app->wake();
}
EMSCRIPTEN_KEEPALIVE void ic_errand_progress(double fraction) {
  page().host.runner().progressed(fraction);
  page().app->wake();
}
EMSCRIPTEN_KEEPALIVE void ic_errand_stopped(const char* why, int size) {
  page().host.runner().worker_stopped(text_of(why, size));
  page().app->wake();
}

EMSCRIPTEN_KEEPALIVE const char* ic_open_fragment(const char* text, int size) {
  const char* result = answer(page().app->open_fragment(text_of(text, size)));
  page().app->wake();
  return result;
}

EMSCRIPTEN_KEEPALIVE const char* ic_restore(const std::uint8_t* bytes, std::size_t size, const char* view,
                                            int view_size) {
  const char* result =
      answer(page().app->restore(std::vector<std::uint8_t>(bytes, bytes + size), text_of(view, view_size)));
  page().app->wake();
  return result;
}

/// What the page tells of a case that is reviewed with others (page/review.js).
EMSCRIPTEN_KEEPALIVE void ic_review(const char* event, int event_size, const std::uint8_t* bytes, std::size_t size) {
  const nlohmann::json parsed = nlohmann::json::parse(event, event + event_size, nullptr, false);
  if (parsed.is_object()) page().app->review_event(parsed, std::vector<std::uint8_t>(bytes, bytes + size));
}

/// What the page answers to what practice asked (Host::practice).
EMSCRIPTEN_KEEPALIVE void ic_practice(const char* event, int event_size, const std::uint8_t* bytes, std::size_t size) {
  nlohmann::json parsed = nlohmann::json::parse(event, event + event_size, nullptr, false);
  if (!parsed.is_object()) return;
  if (size > 0) parsed["bytes"] = nlohmann::json::binary(std::vector<std::uint8_t>(bytes, bytes + size));
  page().app->practice_event(parsed);
}

/// The case as a file; its bytes stay in place until the next call.
EMSCRIPTEN_KEEPALIVE const std::uint8_t* ic_save() {
  page().saved = page().app->save();
  return page().saved.data();
}
EMSCRIPTEN_KEEPALIVE std::size_t ic_saved_size() {
  return page().saved.size();
}

EMSCRIPTEN_KEEPALIVE const char* ic_act(const char* name, int name_size, const char* args, int args_size) {
  const nlohmann::json parsed = nlohmann::json::parse(args, args + args_size, nullptr, false);
  if (parsed.is_discarded()) return answer(Status(Error{"the arguments are not JSON", text_of(name, name_size), {}}));
  const Result<nlohmann::json> result = page().app->act(text_of(name, name_size), parsed);
  page().app->wake();
  if (!result) return answer(nlohmann::json{{"ok", false}, {"error", result.error().sentence()}});
  return answer(nlohmann::json{{"ok", true}, {"value", result.value()}});
}

EMSCRIPTEN_KEEPALIVE const char* ic_state() {
  return answer(page().app->state());
}
EMSCRIPTEN_KEEPALIVE const char* ic_measures() {
  return answer(page().app->measures());
}
EMSCRIPTEN_KEEPALIVE const char* ic_contact() {
  return answer(page().app->contact());
}
}
