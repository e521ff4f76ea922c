#include "app/work/remark_picture.h"

#include <cmath>

#include "app/view/review_overlay.h"
#include "formats/jpeg.h"
#include "review/entry.h"

namespace intercusp {

namespace {

constexpr int kPictureWidth = 360, kPictureHeight = 240;
constexpr double kRingRadius = 6, kRingWidth = 1.2;  // pixels of the picture

/// A white ring with a dark one about it: seen on any ground.
void draw_ring(RgbPicture& picture, double x, double y) {
  for (int row = 0; row < picture.height; ++row) {
    for (int column = 0; column < picture.width; ++column) {
      const double off = std::hypot(column + 0.5 - x, row + 0.5 - y) - kRingRadius;
      if (std::abs(off) > 2 * kRingWidth) continue;
      std::uint8_t* p = &picture.rgb[(static_cast<std::size_t>(row) * picture.width + column) * 3];
      p[0] = p[1] = p[2] = std::abs(off) <= kRingWidth ? 255 : 30;
    }
  }
}

}  // namespace

std::string picture_for_remark(const Workspace& w, const std::string& body, const Vec3& point) {
  const RgbPicture view = w.picture_of_view ? w.picture_of_view() : RgbPicture{};
  if (view.width <= 0 || view.height <= 0) return {};
  RgbPicture small = shrunk(view, kPictureWidth, kPictureHeight);
  if (const auto at = body.empty() ? std::nullopt : pin_pixel(w, w.active_view, body, point)) {
    const Rect& rect = w.views[w.active_view].rect;
    draw_ring(small, (at->x - rect.x) * small.width / rect.w, (at->y - rect.y) * small.height / rect.h);
  }
  for (const int quality : {82, 60, 35}) {
    const std::vector<std::uint8_t> jpeg = write_jpeg(small, quality);
    if (jpeg.size() <= kLongestPicture) return {jpeg.begin(), jpeg.end()};
  }
  return {};
}

}  // namespace intercusp
