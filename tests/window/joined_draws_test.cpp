// Joined draw lists give the same pixels as the lists they were joined from: what is drawn over each place, in its
// order, is worked out here triangle by triangle for both.
#include "app/render/joined_draws.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <memory>
#include <random>
#include <utility>
#include <vector>

namespace intercusp {

namespace {

constexpr float kWide = 200, kTall = 120;
const ImVec4 kView(60, 20, 150, 100);

bool covers(const ImDrawList& list, const ImDrawIdx* corner, unsigned offset, float x, float y) {
  const auto at = [&](int i) { return list.VtxBuffer[static_cast<int>(corner[i] + offset)].pos; };
  const auto side = [&](const ImVec2& a, const ImVec2& b) { return (b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x); };
  const float s0 = side(at(0), at(1)), s1 = side(at(1), at(2)), s2 = side(at(2), at(0));
  return (s0 > 0 && s1 > 0 && s2 > 0) || (s0 < 0 && s1 < 0 && s2 < 0);
}

using Layers = std::vector<std::pair<ImU32, ImTextureID>>;

// Colours over the middle of a pixel, the lowest first.
Layers over(const ImDrawData& data, float x, float y) {
  Layers layers;
  for (int n = 0; n < data.CmdListsCount; ++n) {
    const ImDrawList& list = *data.CmdLists[n];
    for (const ImDrawCmd& c : list.CmdBuffer) {
      if (x < c.ClipRect.x || x > c.ClipRect.z || y < c.ClipRect.y || y > c.ClipRect.w) continue;
      const ImDrawIdx* index = list.IdxBuffer.Data + c.IdxOffset;
      for (unsigned i = 0; i + 2 < c.ElemCount; i += 3)
        if (covers(list, index + i, c.VtxOffset, x, y))
          layers.emplace_back(list.VtxBuffer[static_cast<int>(index[i] + c.VtxOffset)].col, c.TextureId);
    }
  }
  return layers;
}

// Lists of boxes in clip rectangles of all kinds, as panels make them.
struct Panels {
  std::vector<std::unique_ptr<ImDrawList>> lists;
  std::vector<ImDrawList*> pointers;
  ImDrawData data;

  explicit Panels(std::mt19937& random) {
    std::uniform_real_distribution<float> x(-20, kWide + 20), y(-20, kTall + 20), part(0, 1);
    for (int n = 0; n < 3; ++n) {
      lists.push_back(std::make_unique<ImDrawList>(nullptr));
      ImDrawList& list = *lists.back();
      for (int c = 0; c < 12; ++c) {
        ImDrawCmd command;
        const float left = x(random), top = y(random);
        command.ClipRect = part(random) < 0.4f ? ImVec4(0, 0, kWide, kTall)
                                               : ImVec4(left, top, left + 70 * part(random), top + 50 * part(random));
        command.TextureId = reinterpret_cast<ImTextureID>(c % 5 < 4 ? 1 : 2);
        command.IdxOffset = static_cast<unsigned>(list.IdxBuffer.Size);
        for (int b = 0; b < 3; ++b) add_box(list, x(random), y(random), 40 * part(random), 25 * part(random), random);
        command.ElemCount = static_cast<unsigned>(list.IdxBuffer.Size) - command.IdxOffset;
        list.CmdBuffer.push_back(command);
      }
      pointers.push_back(&list);
    }
    data.Valid = true;
    data.CmdLists = pointers.data();
    data.CmdListsCount = static_cast<int>(pointers.size());
    data.DisplaySize = {kWide, kTall};
  }

  static void add_box(ImDrawList& list, float x, float y, float w, float h, std::mt19937& random) {
    const auto first = static_cast<ImDrawIdx>(list.VtxBuffer.Size);
    const ImU32 colour = static_cast<ImU32>(random());
    for (const ImVec2& p : {ImVec2(x, y), ImVec2(x + w, y), ImVec2(x + w, y + h), ImVec2(x, y + h)})
      list.VtxBuffer.push_back({p, {0, 0}, colour});
    for (const unsigned i : {0u, 1u, 2u, 0u, 2u, 3u}) list.IdxBuffer.push_back(first + i);
  }
};

int calls(const ImDrawData& data) {
  int n = 0;
  for (int i = 0; i < data.CmdListsCount; ++i) n += data.CmdLists[i]->CmdBuffer.Size;
  return n;
}

bool in_view(float x, float y) {
  return x > kView.x && x < kView.z && y > kView.y && y < kView.w;
}

}  // namespace

TEST_CASE("joined draws: within the view and beside it, every place has the layers it had") {
  std::mt19937 random(7);
  int before = 0, after = 0;
  for (int round = 0; round < 20; ++round) {
    const Panels panels(random);
    JoinedDraws within, beside;
    const ImDrawData& in = *within.within(panels.data, kView);
    const ImDrawData& out = *beside.beside(panels.data, kView);
    before += calls(panels.data);
    after += std::max(calls(in), calls(out));
    for (float y = 0.5f; y < kTall; y += 3)
      for (float x = 0.5f; x < kWide; x += 3) {
        CAPTURE(x);
        CAPTURE(y);
        const Layers wanted = over(panels.data, x, y);
        if (in_view(x, y))
          REQUIRE(over(in, x, y) == wanted);
        else
          REQUIRE(over(out, x, y) == wanted);
        if (!in_view(x, y)) REQUIRE(over(in, x, y).empty());
      }
  }
  CHECK(after < before);
}

TEST_CASE("joined draws: the fingerprint is that of what is drawn") {
  std::mt19937 random(3);
  const Panels panels(random);
  JoinedDraws a, b;
  a.beside(panels.data, kView);
  b.beside(panels.data, kView);
  CHECK(a.fingerprint() == b.fingerprint());
  CHECK_FALSE(a.uses_only(reinterpret_cast<ImTextureID>(1)));
  // A vertex of a triangle that shows there.
  const ImDrawList& list = *a.beside(panels.data, kView)->CmdLists[0];
  const ImVec2 shown = list.VtxBuffer[static_cast<int>(list.IdxBuffer[0])].pos;
  for (ImDrawList* own : panels.pointers)
    for (ImDrawVert& v : own->VtxBuffer)
      if (v.pos.x == shown.x && v.pos.y == shown.y) v.col ^= 1u;
  b.beside(panels.data, kView);
  CHECK(a.fingerprint() != b.fingerprint());
}

TEST_CASE("joined draws: boxes that nothing clips come to one call") {
  ImDrawList list(nullptr);
  std::mt19937 random(1);
  for (int i = 0; i < 10; ++i) {
    ImDrawCmd command;
    command.ClipRect = {static_cast<float>(i), 0, kWide - static_cast<float>(i), kTall};
    command.IdxOffset = static_cast<unsigned>(list.IdxBuffer.Size);
    Panels::add_box(list, 20, 10, 30, 10, random);
    command.ElemCount = 6;
    list.CmdBuffer.push_back(command);
  }
  ImDrawList* lists[] = {&list};
  ImDrawData data;
  data.CmdLists = lists;
  data.CmdListsCount = 1;
  data.DisplaySize = {kWide, kTall};
  JoinedDraws joined;
  CHECK(calls(*joined.within(data, {0, 0, kWide, kTall})) == 1);
}

}  // namespace intercusp
