#include "app/input_queue.h"

#include <cfloat>
#include <set>

#include <imgui.h>

namespace intercusp {

namespace {

// A field that a press opens is drawn in the next frame, asks for the keys in it and has them in the one after: what is
// typed meanwhile is meant for it.
constexpr int kFramesToSettle = 3;
constexpr int kEnter = 257, kKeypadEnter = 335;  // one key to everything here

}  // namespace

/// What was handed to the coming frame so far.
struct InputQueue::Handed {
  std::set<int> keys;
  unsigned modifiers = 0;  ///< of these keys
  std::set<int> buttons;
};

void InputQueue::move(float x, float y) {
  if (!events_.empty() && events_.back().kind == Kind::move) events_.pop_back();
  events_.push_back({Kind::move, x, y, 0, false, 0, {}});
}

void InputQueue::leave() {
  events_.push_back({Kind::move, -FLT_MAX, -FLT_MAX, 0, false, 0, {}});
}

void InputQueue::button(int which, bool down) {
  if (which < 0 || which >= 5) return;
  events_.push_back({Kind::button, 0, 0, which, down, 0, {}});
}

void InputQueue::wheel(float horizontal, float vertical) {
  events_.push_back({Kind::wheel, horizontal, vertical, 0, false, 0, {}});
}

void InputQueue::key(int code, bool down, unsigned modifiers) {
  if (code < 0 || code >= 512) return;
  if (code == kKeypadEnter) code = kEnter;
  events_.push_back({Kind::key, 0, 0, code, down, modifiers, {}});
}

void InputQueue::text(const std::string& utf8) {
  events_.push_back({Kind::text, 0, 0, 0, false, 0, utf8});
}

void InputQueue::character(unsigned code_point) {
  events_.push_back({Kind::character, 0, 0, static_cast<int>(code_point), false, 0, {}});
}

void InputQueue::barrier() {
  events_.push_back({Kind::barrier, 0, 0, 0, false, 0, {}});
}

void InputQueue::release_all() {
  events_.push_back({Kind::release, 0, 0, 0, false, 0, {}});
}

bool InputQueue::must_wait(const Event& event, const Handed& handed) const {
  switch (event.kind) {
    case Kind::button:
      return handed.buttons.count(event.code) > 0;
    case Kind::key:
      // A key is taken with what is held while it goes down: with other modifiers it is another frame's.
      return handed.keys.count(event.code) > 0 || (event.down && settling_ > 0) ||
             (!handed.keys.empty() && handed.modifiers != event.modifiers);
    case Kind::move:
    case Kind::wheel:
      return !handed.buttons.empty();
    case Kind::release:
      return !handed.buttons.empty() || !handed.keys.empty();
    case Kind::text:
    case Kind::character:
      return settling_ > 0;
    case Kind::barrier:
      return false;
  }
  return false;
}

void InputQueue::hand_over(const Event& event, ImGuiIO& io) {
  switch (event.kind) {
    case Kind::move:
      io.MousePos = ImVec2(event.x, event.y);
      break;
    case Kind::button:
      io.MouseDown[event.code] = event.down;
      break;
    case Kind::wheel:
      io.MouseWheelH += event.x;
      io.MouseWheel += event.y;
      break;
    case Kind::key:
      io.KeysDown[event.code] = event.down;
      io.KeyShift = (event.modifiers & kModShift) != 0;
      io.KeyCtrl = (event.modifiers & kModCtrl) != 0;
      io.KeyAlt = (event.modifiers & kModAlt) != 0;
      io.KeySuper = (event.modifiers & kModSuper) != 0;
      break;
    case Kind::text:
      io.AddInputCharactersUTF8(event.text.c_str());
      break;
    case Kind::character:
      io.AddInputCharacter(static_cast<unsigned>(event.code));
      break;
    case Kind::release:
      for (bool& down : io.KeysDown) down = false;
      for (bool& down : io.MouseDown) down = false;
      io.KeyShift = io.KeyCtrl = io.KeyAlt = io.KeySuper = false;
      break;
    case Kind::barrier:
      break;
  }
}

void InputQueue::apply(ImGuiIO& io) {
  Handed handed;
  if (settling_ > 0) --settling_;
  while (!events_.empty()) {
    if (must_wait(events_.front(), handed)) return;
    const Event event = std::move(events_.front());
    events_.pop_front();
    if (event.kind == Kind::barrier) return;
    if (event.kind == Kind::button) handed.buttons.insert(event.code);
    const bool entered = event.kind == Kind::key && event.code == kEnter && event.down;
    if (entered || (event.kind == Kind::button && !event.down)) settling_ = kFramesToSettle;
    if (event.kind == Kind::key) {
      handed.keys.insert(event.code);
      handed.modifiers = event.modifiers;
    }
    hand_over(event, io);
  }
}

}  // namespace intercusp
