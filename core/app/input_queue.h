#pragma once

#include <deque>
#include <string>

struct ImGuiIO;

namespace intercusp {

enum KeyModifier : unsigned { kModShift = 1, kModCtrl = 2, kModAlt = 4, kModSuper = 8 };

/// Input that arrived since the last frame, in order. Dear ImGui looks at the state of mouse and keys once a frame, so
/// a press and a release between two frames would be lost: the queue hands over only as much as one frame can tell
/// apart.
class InputQueue {
 public:
  /// Pointer position in logical pixels; a run of moves becomes one.
  void move(float x, float y);
  /// The pointer is nowhere (a finger was lifted, the mouse left).
  void leave();
  void button(int which, bool down);
  void wheel(float horizontal, float vertical);
  /// `code` as GLFW numbers keys: ASCII for printable keys, from 256 for the others.
  void key(int code, bool down, unsigned modifiers);
  void text(const std::string& utf8);
  void character(unsigned code_point);
  /// What follows belongs to a later frame.
  void barrier();
  /// Lifts every key and button, as when the page or the window loses the focus.
  void release_all();

  bool empty() const { return events_.empty(); }
  /// Hands over what the coming frame can tell apart.
  void apply(ImGuiIO& io);

 private:
  enum class Kind { move, button, wheel, key, text, character, barrier, release };
  struct Event {
    Kind kind;
    float x = 0, y = 0;
    int code = 0;
    bool down = false;
    unsigned modifiers = 0;
    std::string text;
  };
  struct Handed;
  bool must_wait(const Event& event, const Handed& handed) const;
  static void hand_over(const Event& event, ImGuiIO& io);

  std::deque<Event> events_;
  int settling_ = 0;  ///< frames that a field still takes to wait for keys after the press that opened it
};

}  // namespace intercusp
