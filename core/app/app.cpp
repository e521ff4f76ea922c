#include "app/app.h"

#include <GLES3/gl3.h>
#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>

#include <utility>

#include <nlohmann/json.hpp>

#include "app/parts.h"
#include "app/theme.h"
#include "app/view/arrow_keys.h"
#include "app/view/layout.h"
#include "app/view/overlay.h"
#include "app/widgets/finger_scroll.h"
#include "app/widgets/tab_order.h"
#include "app/widgets/widgets.h"
#include "app/work/class_work.h"
#include "app/work/command_table.h"
#include "app/work/commands.h"
#include "app/work/opening.h"
#include "app/work/practice.h"
#include "app/work/practice_result.h"
#include "app/work/review.h"
#include "app/work/view_json.h"
#include "casebook/case_file.h"
#include "casebook/reports.h"

namespace intercusp {

namespace {

constexpr double kKeepSeconds = 0.5;   // after the last change
constexpr double kSlowSeconds = 0.05;  // a frame while moving

// Input arrives in the platform's logical pixels; everything is laid out in device pixels.
struct DevicePixels {
  explicit DevicePixels(const WindowState& window) : size(ImGui::GetIO().DisplaySize), mouse(ImGui::GetIO().MousePos) {
    ImGuiIO& io = ImGui::GetIO();
    const auto w = static_cast<float>(window.framebuffer_width), h = static_cast<float>(window.framebuffer_height);
    if (ImGui::IsMousePosValid(&mouse) && size.x > 0 && size.y > 0)
      io.MousePos = {mouse.x * w / size.x, mouse.y * h / size.y};
    io.DisplaySize = {w, h};
    io.DisplayFramebufferScale = {1, 1};
  }
  void give_back() const {
    ImGui::GetIO().MousePos = mouse;
    ImGui::GetIO().DisplaySize = size;
  }
  ImVec2 size, mouse;
};

}  // namespace

App::App(Host& host) : parts_(std::make_unique<Parts>(host)) {
  if (!ImGui::GetCurrentContext()) {
    ImGui::CreateContext();
    parts_->own_context = true;
  }
  ImGuiIO& io = ImGui::GetIO();
  io.IniFilename = nullptr;
  io.ConfigFlags |= ImGuiConfigFlags_NavEnableKeyboard;
  io.ConfigInputTextCursorBlink = false;  // blinking would draw for ever
  const std::string theme_choice = host.setting("theme");
  if (theme_choice == "light" || theme_choice == "dark") parts_->w.theme_choice = theme_choice;
  read_hidden_rows(parts_->w);
  if (host.setting("tried").empty()) parts_->w.guide = 0;
  parts_->w.left_open = host.setting("left_panel") != "folded";
  parts_->w.right_open = host.setting("right_panel") != "folded";
}

App::~App() {
  if (parts_->own_context) ImGui::DestroyContext();
}

void App::create_gpu_objects() {
  ImGui_ImplOpenGL3_Init("#version 300 es");
  parts_->renderer.create();
  parts_->gpu = true;
  parts_->font_scale = 0;
  parts_->drawn = {};
  ++parts_->gaps_version;
  parts_->zoned.clear();
  parts_->thickness_of.reset();
  wake();
}

void App::forget_gpu_objects() {
  parts_->renderer.forget();
  parts_->painter.forget();
  parts_->w.shelf.forget();
  // The backend's objects went with the context; their names mean nothing to the next one, where deleting an unknown
  // name is ignored.
  ImGui_ImplOpenGL3_Shutdown();
  parts_->gpu = false;
}

bool App::wants_frame() const {
  const Parts& p = *parts_;
  return p.w.wake_frames > 0 || p.w.glide || p.sample_due || p.w.look_at <= p.w.seconds;
}

double App::next_frame_in() const {
  return std::max(0.0, parts_->w.look_at - parts_->w.seconds);
}

bool App::has_case() const {
  return parts_->w.has_case;
}

bool App::busy() const {
  return parts_->w.errands.busy();
}

void App::wake() {
  parts_->w.wake();
}

void App::Parts::begin_frame(const WindowState& window) {
  const bool moves = w.moving || w.dragging || w.glide;
  if (moves && moved_before && window.seconds - w.seconds > kSlowSeconds) slow = true;
  moved_before = moves;
  w.seconds = window.seconds;
  w.scale = window.scale;
  w.reduced_motion = window.reduced_motion;
  const bool dark = w.theme_choice == "dark" || (w.theme_choice == "system" && window.prefers_dark);
  use_theme(dark ? dark_theme() : light_theme(), window.scale, window.touch);
  if (font_scale != window.scale) {
    ImGui_ImplOpenGL3_DestroyFontsTexture();
    build_fonts(window.scale);
    ImGui_ImplOpenGL3_CreateFontsTexture();
    painter.destroy();
    font_scale = window.scale;
  }
  apply_style();
  ImGui::GetIO().FontDefault = fonts().body;
  ui::widget_map().clear();
  ui::focused_control().clear();
  ui::begin_tab_order();
  ui::text_log().clear();
}

bool App::keeping() const {
  const Parts& p = *parts_;
  return p.w.has_case && !p.w.practice && !(p.w.review && !p.w.review->keep) && !p.w.keeps_nothing &&
         (p.w.document.revision() != p.kept_revision || p.keep_after > 0 || p.keeps_under_way > 0);
}

void App::Parts::say_not_opened(const Error& trouble) {
  w.say_error(trouble, w.has_case ? "the open case stays as it is" : "nothing is open");
}

void App::Parts::take_answers() {
  const bool was_busy = w.errands.busy();
  for (const Error& trouble : w.errands.poll()) say_not_opened(trouble);
  if (was_busy && !w.errands.busy()) w.wake();
  if (w.errands.words().empty())
    words_since = -1;
  else if (words_since < 0)
    words_since = w.seconds;
}

void App::Parts::open_first_sample() {
  sample_due = false;
  const Status opened = intercusp::open_first_sample(w, [this] { w.stop = Stop::movement; });
  if (!opened) w.say_error(opened.error(), "nothing is open");
}

float App::Parts::draw_over_views(const Screen& s) {
  if (pictured) return s.view.y + s.view.h;
  view_tools(w, s.view);
  gap_legend(w, s.view);
  thickness_legend(w, s.view);
  section_box(w, s.view);
  zone_bar(w, s.view);
  const float foot = guide(w, s.view);
  if (!w.practice) stability_card(w, s.view);
  if (!w.practice) position_bar(w, s.view);
  if (!w.practice) explain_popover(w, s);  // practice says it beside the question
  show_box(w, s);
  return foot;
}

void App::Parts::draw_panels(const Screen& s) {
  float foot = s.view.y + s.view.h;
  const bool own_place = w.practice || w.class_open;
  if (!own_place) top_bar(w, s.top);
  if (w.class_open) {
    class_page(w, s);
  } else if (w.practice) {
    practice_place(w, s);
    const bool open = w.has_case && !pictured;
    if (open && practice_allows_tools(w))
      foot = draw_over_views(s);
    else if (open && !practice_holds_views(w))
      side_buttons(w, s.view);
  } else if (w.has_case) {
    reading_panel(w, s.right, s.upright);
    foot = draw_over_views(s);
    step_panel(w, s.left, s.upright);
    share_box(w, s);
    people_box(w, s);
    name_box(w, s);
    history_box(w, s);
    plans_box(w, s);
  }
  kept_box(w, s);
  if (!own_place) foot_line(w, s.foot);
  join_box(w, s);
  keys_help(w, s);
  if (!own_place && !sample_due && (!w.review || in_review(w)) && !(w.errands.busy() && !w.has_case)) start_page(w, s);
  if (!pictured) show_messages(w, s, foot);
  if (!pictured) errand_line(w, s, words_since);
}

void App::frame(const WindowState& window) {
  Parts& p = *parts_;
  if (!p.gpu || window.framebuffer_width <= 0 || window.framebuffer_height <= 0) return;
  Workspace& w = p.w;
  if (w.wake_frames > 0) --w.wake_frames;
  w.look_at = kNever;
  ImGuiIO& io = ImGui::GetIO();
  io.DeltaTime = static_cast<float>(std::clamp(window.seconds - w.seconds, 1e-4, 0.2));
  const DevicePixels pixels(window);
  p.begin_frame(window);
  p.take_answers();
  share_arrow_keys(io, p.hands.aims());
  ImGui_ImplOpenGL3_NewFrame();
  ImGui::NewFrame();
  if (ui::scroll_by_finger()) w.wake(2);
  // The very first frame shows the empty screen; the sample is made behind it.
  tend_practice(w);
  tend_class(w);
  if (!w.has_case && p.sample_due)
    p.open_first_sample();
  else if (!w.has_case && !w.review && w.frames_drawn == 0 && !w.errands.busy())
    p.sample_due = true;
  // A tablet held upright begins with the whole view.
  if (w.frames_drawn == 0 && io.DisplaySize.x < px(1080) && w.host.setting("left_panel").empty()) w.left_open = false;
  if (w.has_case) propose_clicked_teeth(w);
  const Screen screen = arrange(w, io.DisplaySize.x, io.DisplaySize.y);
  Rect views = screen.view;
  const float strip = w.has_case ? tool_strip_height(views.w) : 0;
  const bool one = w.layout == "one";
  if (!one) {
    views.y += strip;
    views.h -= strip;
  }
  lay_out_views(w, views, screen.upright);
  for (View& v : w.views) v.covered = one ? strip : 0;
  if (w.fit_due && w.has_case) {
    w.fit_due = false;
    const std::string layout = w.layout;
    set_layout(w, layout);
  }
  advance_glide(w);
  p.pictured = !w.picture_due.empty() && w.has_case;
  p.draw_panels(screen);
  w.refresh();
  if (w.has_case) {
    // In practice from the views alone a point is still placed.
    const bool untouched = practice_holds_views(w) && w.tool != Tool::place_landmark;
    if (w.popover == Popover::none && !w.class_open && !untouched)
      p.hands.frame(w, ImGui::GetForegroundDrawList(), p.renderer.picture(), screen.view);
    if (!w.class_open) view_keys(w);
    w.refresh();
    tend_review(w);
    p.update_contacts();
    for (std::size_t i = 0; i < w.views.size() && !w.class_open; ++i)
      draw_view_overlay(w, i, ImGui::GetBackgroundDrawList(), p.hands.lit_part());
  }
  ui::walk_by_tab();
  ImGui::Render();
  p.paint(screen.view, window.framebuffer_height);
  if (const std::string trouble = p.renderer.take_trouble(); !trouble.empty())
    w.say({Message::Kind::failure, "The graphics driver refused a shader: " + trouble, "the model cannot be drawn",
           "update the graphics driver or the browser", 0});
  if (!w.picture_due.empty() && p.pictured) p.take_picture(window.framebuffer_height);
  pixels.give_back();
  // A field takes some frames to wait for keys after a click or a key; a finger that only rests draws nothing.
  const bool by_key = ImGui::IsKeyPressed(kEnterKey, false) || ImGui::IsKeyPressed(' ', false);
  if (by_key || ImGui::IsMouseClicked(0) || ImGui::IsMouseReleased(0)) w.wake(6);
  w.wake_at(w.seconds + ui::tip_due_in());
  ++w.frames_drawn;
  p.keep_work();
}

void App::Parts::keep_work() {
  if (!w.has_case || w.dragging || w.practice) return;
  if (in_review(w) && !w.review->keep && !w.keeps_nothing) {
    w.keeps_nothing = true;
    w.host.keep_work(w.now().id, {}, "");  // what was kept before it was said
  }
  if (w.keeps_nothing || (w.review && !w.review->keep)) return;
  if (w.document.revision() != kept_revision) {
    kept_revision = w.document.revision();
    keep_after = w.seconds + kKeepSeconds;
  }
  if (keep_after > 0) {
    if (w.seconds < keep_after) return w.wake_at(keep_after);
    keep_after = 0;
    ++keeps_under_way;
    const auto keep = [this, id = w.now().id, view = view_json(w).dump()](ErrandAnswer& answer) -> Status {
      --keeps_under_way;
      if (const auto* written = std::get_if<CaseWritten>(&answer)) w.host.keep_work(id, written->bytes, view);
      return Done{};
    };
    (void)w.errands.go(WriteCase{w.now()}, "", keep).ok();
  }
}

Status App::open_file(const std::string& name, std::vector<std::uint8_t> bytes) {
  wake();
  const ErrandDesk::AtOnce now(parts_->w.errands);
  Status opened = intercusp::open_file(parts_->w, {name, std::move(bytes), 0, nullptr, 0});
  if (!opened) parts_->say_not_opened(opened.error());
  return opened;
}

void App::open_by_hand(const std::string& name, std::vector<std::uint8_t> bytes, const std::function<void()>& then) {
  wake();
  const Status opened = intercusp::open_file(parts_->w, {name, std::move(bytes), 0, nullptr, 0}, then);
  if (!opened) parts_->say_not_opened(opened.error());
}

void App::open_held_by_host(const std::string& name, std::uint64_t number) {
  wake();
  const Status opened = intercusp::open_file(parts_->w, {name, {}, number, nullptr, 0});
  if (!opened) parts_->say_not_opened(opened.error());
}

Status App::open_fragment(const std::string& fragment) {
  wake();
  const ErrandDesk::AtOnce now(parts_->w.errands);
  Status opened = is_review_link(fragment) ? ask_to_join(parts_->w, fragment)
                  : is_set_link(fragment)  ? begin_set(parts_->w, fragment)
                                           : open_link(parts_->w, fragment);
  if (!opened) parts_->w.say_error(opened.error(), "the link was not opened");
  return opened;
}

Status App::restore(std::vector<std::uint8_t> case_bytes, const std::string& view) {
  wake();
  const ErrandDesk::AtOnce now(parts_->w.errands);
  Status opened = restore_work(parts_->w, std::move(case_bytes), view);
  if (!opened) parts_->w.say_error(opened.error(), "the work kept here could not be read");
  return opened;
}

std::vector<std::uint8_t> App::save() const {
  return parts_->w.has_case ? write_case(parts_->w.now()) : std::vector<std::uint8_t>{};
}

Result<nlohmann::json> App::act(const std::string& name, const nlohmann::json& args) {
  const ErrandDesk::AtOnce now(parts_->w.errands);
  return intercusp::act(parts_->w, name, args);
}

void App::review_event(const nlohmann::json& event, std::vector<std::uint8_t> bytes) {
  take_review_event(parts_->w, event, std::move(bytes));
}

void App::practice_event(const nlohmann::json& event) {
  take_practice_event(parts_->w, event);
}

nlohmann::json App::state() const {
  nlohmann::json state = state_json(parts_->w, parts_->w.scale);
  if (const auto aim = parts_->hands.aim()) state["aim"] = {aim->x / parts_->w.scale, aim->y / parts_->w.scale};
  return state;
}

nlohmann::json App::measures() {
  Workspace& w = parts_->w;
  if (!w.has_case) return nlohmann::json::object();
  w.refresh();
  return measure_report(w.shown(), w.current_plan(), w.moment(), w.readings.now().poses);
}

nlohmann::json App::contact() {
  Workspace& w = parts_->w;
  if (!w.has_case) return nlohmann::json::object();
  w.refresh();
  const auto pairs = contact_pairs(w.shown(), w.readings.now().poses, w.now().contact_settings);
  if (!pairs) return {{"error", pairs.error().sentence()}};
  return contact_report(w.shown(), w.readings.now().poses, pairs.value(), w.shown_plan());
}

}  // namespace intercusp
