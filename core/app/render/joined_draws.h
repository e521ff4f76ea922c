#pragma once

#include <imgui.h>

#include <cstdint>

namespace intercusp {

/// Draw lists as one list with as few draw calls as give the same pixels: a clip rectangle that clips nothing parts no
/// calls, and triangles that lie outside theirs are left out. A draw call costs a software rasterizer as much as some
/// thousand pixels, and the panels ask for a hundred a frame.
class JoinedDraws {
 public:
  /// All that shows within `part` (window, device pixels), clipped to it.
  ImDrawData* within(const ImDrawData& from, const ImVec4& part);
  /// All that shows anywhere beside `part`; of what reaches into it, more is drawn than is left of it there.
  ImDrawData* beside(const ImDrawData& from, const ImVec4& part);

  /// Two joined lists that draw the same pixels with the same textures have the same number.
  std::uint64_t fingerprint() const;
  /// Whether only `texture` is drawn with.
  bool uses_only(ImTextureID texture) const;

 private:
  ImDrawData* finish(const ImDrawData& from);

  ImDrawList list_{nullptr};
  ImDrawList* lists_[1] = {&list_};
  ImDrawData joined_;
};

}  // namespace intercusp
