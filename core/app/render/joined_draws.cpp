#include "app/render/joined_draws.h"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <limits>

namespace intercusp {

namespace {

struct Extent {
  float left = std::numeric_limits<float>::max(), top = left, right = -left, bottom = -left;

  void add(const Extent& b) {
    left = std::min(left, b.left);
    top = std::min(top, b.top);
    right = std::max(right, b.right);
    bottom = std::max(bottom, b.bottom);
  }
  bool holds(const Extent& b) const { return b.left >= left && b.top >= top && b.right <= right && b.bottom <= bottom; }
  Extent common(const Extent& b) const {
    return {std::max(left, b.left), std::max(top, b.top), std::min(right, b.right), std::min(bottom, b.bottom)};
  }
  bool meets(const Extent& b) const { return b.left < right && b.right > left && b.top < bottom && b.bottom > top; }
};

Extent box_of(const ImVec4& clip) {
  return {clip.x, clip.y, clip.z, clip.w};
}

Extent box_of_triangle(const ImVector<ImDrawVert>& vertices, const ImDrawIdx* corner, unsigned offset) {
  Extent box;
  for (int i = 0; i < 3; ++i) {
    const ImVec2& p = vertices[static_cast<int>(corner[i] + offset)].pos;
    box.add({p.x, p.y, p.x, p.y});
  }
  return box;
}

// What one call draws: the box of its triangles, and the clip that they need. `clips` is false while none does.
struct Call {
  ImDrawCmd command;
  Extent content;
  bool clips = false;
};

bool same(const ImVec4& a, const ImVec4& b) {
  return a.x == b.x && a.y == b.y && a.z == b.z && a.w == b.w;
}

// Whether `next` can be drawn within `last`; if so, `last` takes the clip that suits both.
bool join_into(Call& last, const Call& next) {
  if (last.command.TextureId != next.command.TextureId) return false;
  const ImVec4 &a = last.command.ClipRect, &b = next.command.ClipRect;
  const bool alike = last.clips && next.clips && same(a, b);
  const bool next_fits = last.clips && !next.clips && box_of(a).holds(next.content);
  const bool last_fits = !last.clips && next.clips && box_of(b).holds(last.content);
  if (!alike && !next_fits && !last_fits && (last.clips || next.clips)) return false;
  if (last_fits) last.command.ClipRect = b;
  last.clips |= next.clips;
  last.content.add(next.content);
  last.command.ElemCount += next.command.ElemCount;
  return true;
}

// Appends calls to a list, each joined to the one before it where both come out alike.
class Joiner {
 public:
  explicit Joiner(ImDrawList& to) : to_(to) {
    to_.CmdBuffer.resize(0);
    to_.IdxBuffer.resize(0);
    to_.VtxBuffer.resize(0);
  }

  /// What is added from here on is this list's; its vertices are copied with the first triangle that is wanted.
  void begin_list() { copied_ = false; }

  /// Those of the command's triangles for whose box, cut to `clip`, `wanted` holds.
  template <class Wanted>
  void add(const ImDrawList& from, const ImDrawCmd& command, const ImVec4& clip_rect, Wanted wanted) {
    Call call;
    call.command = command;
    call.command.ClipRect = clip_rect;
    call.command.IdxOffset = static_cast<unsigned>(to_.IdxBuffer.Size);
    call.command.VtxOffset = 0;
    const Extent clip = box_of(clip_rect);
    const ImDrawIdx* index = from.IdxBuffer.Data + command.IdxOffset;
    for (unsigned i = 0; i + 2 < command.ElemCount; i += 3) {
      const Extent box = box_of_triangle(from.VtxBuffer, index + i, command.VtxOffset);
      if (!clip.meets(box) || !wanted(clip.common(box))) continue;
      if (!copied_) copy_vertices(from);
      call.content.add(box);
      for (unsigned k = 0; k < 3; ++k) to_.IdxBuffer.push_back(index[i + k] + command.VtxOffset + first_);
    }
    call.command.ElemCount = static_cast<unsigned>(to_.IdxBuffer.Size) - call.command.IdxOffset;
    call.clips = !clip.holds(call.content);
    if (call.command.ElemCount > 0 && !(last_.command.ElemCount > 0 && join_into(last_, call))) {
      end_call();
      last_ = call;
    }
  }

  void end_call() {
    if (last_.command.ElemCount == 0) return;
    const Extent& all = last_.content;
    if (!last_.clips)
      last_.command.ClipRect = {std::floor(all.left), std::floor(all.top), std::ceil(all.right), std::ceil(all.bottom)};
    to_.CmdBuffer.push_back(last_.command);
    last_ = {};
  }

 private:
  void copy_vertices(const ImDrawList& from) {
    copied_ = true;
    first_ = static_cast<unsigned>(to_.VtxBuffer.Size);
    to_.VtxBuffer.resize(to_.VtxBuffer.Size + from.VtxBuffer.Size);
    std::copy(from.VtxBuffer.begin(), from.VtxBuffer.end(), to_.VtxBuffer.Data + first_);
  }

  ImDrawList& to_;
  bool copied_ = false;
  unsigned first_ = 0;  ///< of the list's vertices, where they were copied to
  Call last_;
};

ImVec4 common(const ImVec4& a, const ImVec4& b) {
  return {std::max(a.x, b.x), std::max(a.y, b.y), std::min(a.z, b.z), std::min(a.w, b.w)};
}

std::uint64_t mixed(std::uint64_t sum, const void* from, std::size_t bytes) {
  constexpr std::uint64_t kPrime = 0x9E3779B97F4A7C15ull;
  const auto* p = static_cast<const unsigned char*>(from);
  for (std::size_t i = 0; i < bytes; i += 4) {
    std::uint32_t word;
    std::memcpy(&word, p + i, 4);
    sum = (sum ^ word) * kPrime;
    sum ^= sum >> 29;
  }
  return sum;
}

}  // namespace

ImDrawData* JoinedDraws::within(const ImDrawData& from, const ImVec4& part) {
  Joiner joiner(list_);
  for (int n = 0; n < from.CmdListsCount; ++n) {
    const ImDrawList& list = *from.CmdLists[n];
    joiner.begin_list();
    for (const ImDrawCmd& command : list.CmdBuffer)
      joiner.add(list, command, common(command.ClipRect, part), [](const Extent&) { return true; });
  }
  joiner.end_call();
  return finish(from);
}

ImDrawData* JoinedDraws::beside(const ImDrawData& from, const ImVec4& part) {
  Joiner joiner(list_);
  const Extent hidden = box_of(part);
  for (int n = 0; n < from.CmdListsCount; ++n) {
    const ImDrawList& list = *from.CmdLists[n];
    joiner.begin_list();
    for (const ImDrawCmd& command : list.CmdBuffer)
      joiner.add(list, command, command.ClipRect, [&](const Extent& shown) { return !hidden.holds(shown); });
  }
  joiner.end_call();
  return finish(from);
}

ImDrawData* JoinedDraws::finish(const ImDrawData& from) {
  joined_ = from;
  joined_.CmdLists = lists_;
  joined_.CmdListsCount = 1;
  joined_.TotalIdxCount = list_.IdxBuffer.Size;
  joined_.TotalVtxCount = list_.VtxBuffer.Size;
  return &joined_;
}

std::uint64_t JoinedDraws::fingerprint() const {
  std::uint64_t sum = 1;
  for (const ImDrawCmd& command : list_.CmdBuffer) {
    sum = mixed(sum, &command.ClipRect, sizeof command.ClipRect);
    sum = mixed(sum, &command.TextureId, sizeof command.TextureId);
    sum = mixed(sum, &command.ElemCount, sizeof command.ElemCount);
  }
  for (const ImDrawIdx i : list_.IdxBuffer) sum = mixed(sum, &list_.VtxBuffer[static_cast<int>(i)], sizeof(ImDrawVert));
  return sum;
}

bool JoinedDraws::uses_only(ImTextureID texture) const {
  return std::all_of(list_.CmdBuffer.begin(), list_.CmdBuffer.end(),
                     [&](const ImDrawCmd& command) { return command.TextureId == texture; });
}

}  // namespace intercusp
