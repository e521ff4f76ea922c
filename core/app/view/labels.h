#pragma once

#include <imgui.h>

#include <optional>
#include <string>
#include <vector>

#include "app/view/camera.h"

namespace intercusp {

/// Labels in a view, placed so that they cover neither one another nor the points they name; each with a leader line
/// that runs through no other label.
class Labels {
 public:
  explicit Labels(const Rect& view) : view_(view) {}
  void keep_free(const Rect& r) { taken_.push_back(r); }
  void add(ImVec2 point, const std::string& words, ImU32 colour, bool strong = false);
  /// Places and draws all; a label that finds no room is left out.
  void draw(ImDrawList* list);

 private:
  struct Label {
    ImVec2 point;
    std::string words;
    ImU32 colour;
    bool strong;
  };
  std::optional<Rect> place_of(const Label& label, float w, float h) const;
  struct Leader {
    ImVec2 from, to;
  };
  Rect view_;
  std::vector<Label> labels_;
  std::vector<Rect> taken_, written_;
  std::vector<Leader> leaders_;
};

}  // namespace intercusp
